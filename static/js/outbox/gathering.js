// Later: which rows a page needs first, gathered from all of them.
import { chains, leaves } from "./chains.js";
import { together } from "./db.js";
import { KEY } from "./following.js";
import { belongs, inOrder } from "./rows.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Row } from "./rows.js" */

/** Own choices: of each thing the newest that say the same, as on the server
 * (fieldlog/kinds/telling.py; both are tested from tests/cases/telling.json); checks, of which 50 are listed. */
const OF_A_WORD = 12;
const CHECKS = 60;
/** @type {Record<string, (body: any) => unknown>} what makes a record say something else than another of its thing */
const SAYS = {
  "outlet-test": ({ judgement, check }) => {
    const sets = [check, ...(check.more ?? [])];
    /** @param {string} name */
    const has = (name) => sets.some((/** @type {any} */ set) => name in set);
    return [judgement.verdict, has("volts"), has("lamps"), sets.some(({ loaded = {} }) => "volts" in loaded)];
  },
  "trip-test": ({ by, tripped, face_dead, reset, mode, milliseconds, milliamps, dead, live }) => [
    by,
    tripped,
    face_dead,
    reset,
    mode,
    milliseconds,
    milliamps,
    [...dead].sort(),
    [...live].sort(),
  ],
  look: ({ of, points, ends }) => [of, points, ends],
  proof: ({ step, part, pair, outcome }) => [step, part, pair, outcome],
  incident: ({ what, at }) => [what, at],
  ...Object.fromEntries(
    ["round", "plan", "photo", "plug-in", "site-note", "arrival-check"].map((kind) => [kind, () => 0]),
  ),
};
const IS_CHECK = ["arrival-check", "outlet-test"];
/** @type {Record<string, number>} There is no thing that each is about; photos are shown with what they are of. */
const MOST_OF = { "arrival-check": CHECKS, "plug-in": CHECKS, "site-note": CHECKS, photo: 0 };

/** Gathers them from all rows, and keeps them. */
export async function make() {
  await together(["records", "kept"], "readwrite", ({ records, kept }) => {
    const account = kept.get("account");
    const all = records.getAll();
    all.onsuccess = () => {
      const [whose, rows] = [account.result ?? null, newestOf(all.result, account.result ?? null)];
      kept.put({ rows, account: whose, count: all.result.length, made: Date.now() }, KEY);
    };
  });
}

/**
 * @param {Row[]} rows
 * @param {string|null} account whose rows may be left out; of another's all stay
 * @returns {Row[]}
 */
export function newestOf(rows, account) {
  const all = chains(inOrder([...rows])).sort((a, b) => momentOf(b) - momentOf(a));
  const roots = new Map(all.flatMap((chain) => chain.map(({ id }) => [id, chain[0]?.id ?? id])));
  /** @type {Map<string, number>} */
  const met = new Map();
  /** @param {string} word @param {number} most */
  const isAmong = (word, most) => {
    const count = (met.get(word) ?? 0) + 1;
    met.set(word, count);
    return count <= most;
  };
  return all
    .filter((chain) => {
      const { record } = lastOf(chain);
      const isCheck = IS_CHECK.includes(record.kind) && isAmong("check", CHECKS);
      if (!(record.kind in SAYS) || leaves(chain).length > 1) return true;
      if (chain.some((row) => row.saved !== "server" || !belongs(row, account))) return true;
      const about = record.kind in MOST_OF ? "" : (roots.get(record.subject ?? "") ?? record.subject);
      const word = JSON.stringify([record.kind, record.rig, about, told(record)]);
      return isAmong(word, MOST_OF[record.kind] ?? OF_A_WORD) || isCheck;
    })
    .flat();
}

/** @param {LogRecord} record @returns {string} alike where two records of one thing say the same of it */
export const told = ({ kind, body }) => JSON.stringify(SAYS[kind]?.(body) ?? null, inItsOrder);

/** @param {string} _ @param {unknown} value */
const inItsOrder = (_, value) =>
  value && typeof value === "object" && !Array.isArray(value) ? Object.entries(value).sort() : value;

/** @param {Row[]} chain */
const lastOf = (chain) => /** @type {Row} */ (chain.at(-1));

/** @param {Row[]} chain */
const momentOf = (chain) => Date.parse(lastOf(chain).record.observed_at);
