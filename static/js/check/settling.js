// What the readings leave open, and which test settles it: one rule for the banner and for the tests that must wait.
// The Python twin is fieldlog/reports/settling.py; both are tested from tests/cases/settling.json.
import { SETTLES_FROM, STANDS_FROM } from "../lib/shown.js";

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { Family, Test } from "../../../schemas/shapes/rulebook.d.ts" */

const NO_EARTH = ["earth-not-proved", "earth-dead"];

/**
 * @param {Pick<Assessed, "faults"|"not_ruled_out">} answer
 * @returns {Set<string>} what may be so, right wiring too
 */
export const standingIn = ({ faults, not_ruled_out: left }) =>
  new Set([...left, ...faults.filter(({ probability }) => probability >= STANDS_FROM).map(({ id }) => id)]);

/**
 * @param {Iterable<string>} standing
 * @param {Pick<Test, "dangerous_under">[]} tests
 * @returns {string[]} those that make one of these tests dangerous
 */
export const dangersIn = (standing, tests) =>
  [...standing].filter((id) => tests.some((test) => test.dangerous_under.includes(id)));

/**
 * @param {string[]} explanations
 * @param {Pick<Test, "id"|"separates">[]} open tests that can be made
 * @param {{id: string}[]} wirings
 * @returns {string[][]} for each explanation the tests that tell it best from right wiring
 */
export function tellersOf(explanations, open, wirings) {
  const ids = wirings.map(({ id }) => id);
  return explanations.map((each) => bestFor(["correct", each], open, ids));
}

/**
 * A test that tells an explanation less surely than another does not rule it out: the silence of a
 * detector proves nothing.
 * @param {[string, string]} two wirings to be told apart
 * @param {Pick<Test, "id"|"separates">[]} open
 * @param {string[]} ids
 * @param {number} [least] how surely it has to tell
 */
function bestFor(two, open, ids, least = 0) {
  const [right, wrong] = two.map((id) => ids.indexOf(id)).sort((one, other) => one - other);
  const surely = open.map(
    ({ separates = [] }) => separates.find(([one, other]) => one === right && other === wrong)?.[2] ?? 0,
  );
  const most = Math.max(0, ...surely);
  return open.filter((_, i) => most > 0 && most >= least && surely[i] === most).map(({ id }) => id);
}

/** @param {string[][]} tellers those that do for each explanation @returns {string[]} few that do for all of them */
export function fewest(tellers) {
  if (!tellers.length) return [];
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const test of tellers.flat()) counts.set(test, (counts.get(test) ?? 0) + 1);
  const [best] = [...counts].sort(([, one], [, two]) => two - one)[0] ?? [""];
  return [best, ...fewest(tellers.filter((tests) => !tests.includes(best)))];
}

/**
 * @param {Pick<Assessed, "faults"|"not_ruled_out"|"findings">} answer
 * @param {Family} family
 * @param {{supply?: string, where?: string, made?: string[]}} at made: the tests that were made already; a reading to
 *   an earth that was not proved is none of them
 * @returns {{left: string[], by: string[], wasMade: boolean}} what cannot be ruled out, where some make a test
 *   dangerous only those; the tests that settle it; whether such a one was made, and did not
 */
export function leftOpen(answer, { tests, wirings }, { supply = "utility", where = "pedestal", made: told = [] }) {
  const isEarthOpen = answer.findings.some(({ id }) => NO_EARTH.includes(id));
  const made = told.filter((test) => test !== "earth" || !isEarthOpen);
  const fit = tests.filter((test) => includes(test.supplies, supply) && includes(test.places, where));
  const standing = [...standingIn(answer)].filter((id) => id !== answer.faults[0]?.id && id !== "correct");
  const dangers = dangersIn(standing, fit);
  const left = dangers.length ? dangers : answer.not_ruled_out;
  const ids = wirings.map(({ id }) => id);
  const open = fit.filter(({ dangerous_under: under }) => !under.some((id) => standing.includes(id)));
  const first = answer.faults[0]?.id ?? "correct";
  const tellers = left.map((each) => bestFor([first, each], open, ids, SETTLES_FROM));
  const unmade = tellers.filter((best) => best.length && !best.some((id) => made.includes(id)));
  return { left, by: fewest(unmade), wasMade: tellers.some((best) => best.some((id) => made.includes(id))) };
}

/**
 * @param {Check} check as recorded
 * @returns {string[]} the tests that its readings stand for
 */
export function madeIn(check) {
  const { near, continuity, trip = [] } = check;
  const sets = [check, ...(check.more ?? [])];
  const volts = sets.flatMap((set) => Object.keys(set.volts ?? {}));
  const made = {
    detector: near?.g !== undefined,
    lamps: sets.some(({ lamps }) => lamps),
    meter: volts.some((pair) => !pair.endsWith("-e")),
    "low-impedance": sets.some(({ meter, volts: read }) => read && meter?.input === "low-impedance"),
    earth: volts.some((pair) => pair.endsWith("-e")),
    load: sets.some(({ loaded }) => loaded),
    "frame-continuity": continuity?.["g-frame"] !== undefined,
    "neutral-continuity": continuity?.["n-g"] !== undefined,
    "rig-bond": continuity?.["n-g"] !== undefined,
    "upstream-hold": trip.some(({ device }) => device === "upstream"),
  };
  return Object.entries(made).flatMap(([id, isMade]) => (isMade ? [id] : []));
}

/** @param {string[]} list @param {string} name */
const includes = (list, name) => list.includes(name);
