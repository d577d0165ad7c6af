/** @typedef {import("./rows.js").Row} Row */

/**
 * Groups rows into chains of corrections, each in order but for the record that counts, which comes last.
 * @param {Row[]} rows in order
 * @returns {Row[][]}
 */
export function chains(rows) {
  const byRoot = new Map();
  const byId = new Map(rows.map((row) => [row.id, row]));
  for (const row of rows) {
    const root = rootOf(row, byId);
    byRoot.set(root, [...(byRoot.get(root) ?? []), row]);
  }
  return [...byRoot.values()].map(countsLast);
}

/** @param {Row[]} chain @returns {Row[]} */
function countsLast(chain) {
  if (chain.length < 3) return chain; // nothing stands beside anything
  const counts = leaves(chain).slice(-1);
  return [...chain.filter((row) => row !== counts[0]), ...counts];
}

/** @param {Row} row @param {Map<string, Row>} byId @returns {string} */
function rootOf(row, byId) {
  const seen = new Set([row.id]);
  let id = row.id;
  /** @type {string|null|undefined} */
  let next = row.record.corrects;
  while (next && !seen.has(next)) {
    seen.add(next);
    id = next;
    next = byId.get(next)?.record.corrects;
  }
  return id;
}

/**
 * Gives the versions of a chain that no other corrects. Where there are several, corrections stand side by side, and
 * the one with the greatest id counts until a further one names them all, whatever the order in which they arrived.
 * @param {Row[]} chain
 * @returns {Row[]} in the order of their ids, the one that counts last
 */
export function leaves(chain) {
  const corrected = new Set(
    chain.flatMap(({ record }) => (record.corrects ? [record.corrects].concat(record.also_corrects ?? []) : [])),
  );
  return chain.filter(({ id }) => !corrected.has(id)).sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** @param {Row[]} rows @returns {Row[]} the current record of each chain */
export function current(rows) {
  return chains(rows).map((chain) => /** @type {Row} */ (chain.at(-1)));
}
