// Why a test is not to be made yet, and which of the tests at hand would open it.

/**
 * @typedef {object} Barred
 * @property {"not-used"|"unknown"|"standing"} why the outlet is not to be used; what was read fits nothing known;
 *   faults are not ruled out
 * @property {string[]} by the faults that are not ruled out and make it dangerous
 * @property {string[]} first the tests that tell those best from right wiring and were not made
 */

/** @typedef {{id: string, dangerous_under: string[], separates: [number, number, number][]}} Test */

/**
 * @param {{verdict: string, isUnknown: boolean, standing: Set<string>, notYet: Test[]}} why
 * @param {{open: Test[], done: string[], wirings: {id: string}[]}} known
 * @returns {Barred}
 */
export function barredBy({ verdict, isUnknown, standing, notYet }, { open, done, wirings }) {
  if (verdict === "do-not-use") return { why: "not-used", by: [], first: [] };
  if (isUnknown) return { why: "unknown", by: [], first: [] };
  const by = [...standing].filter((id) => notYet.some((test) => test.dangerous_under.includes(id)));
  const ids = wirings.map(({ id }) => id);
  const tellers = by.map((id) => bestFor(id, open, ids).filter((test) => !done.includes(test)));
  return { why: "standing", by, first: fewest(tellers.filter((tests) => tests.length)) };
}

/**
 * A test that tells a fault less surely than another does not rule it out: the silence of a detector proves nothing.
 */
function bestFor(fault, open, ids) {
  const [right, wrong] = [ids.indexOf("correct"), ids.indexOf(fault)].sort((one, two) => one - two);
  const surely = open.map(
    ({ separates = [] }) => separates.find(([one, two]) => one === right && two === wrong)?.[2] ?? 0,
  );
  const most = Math.max(0, ...surely);
  return open.filter((_, i) => most > 0 && surely[i] === most).map(({ id }) => id);
}

/** @param {string[][]} tellers the tests that do for each fault @returns {string[]} few that do for all of them */
function fewest(tellers) {
  if (!tellers.length) return [];
  const counts = new Map();
  for (const test of tellers.flat()) counts.set(test, (counts.get(test) ?? 0) + 1);
  const [best] = [...counts].sort(([, one], [, two]) => two - one)[0];
  return [best, ...fewest(tellers.filter((tests) => !tests.includes(best)))];
}
