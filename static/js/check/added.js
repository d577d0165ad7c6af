// Tests added to a check after its first verdict: which screens each has, and which of them count.
import { AGAIN, openAgain } from "./again.js";
import { textAt } from "./entries.js";
import { hasTwoLegs, lampPrefix, pairsOf } from "./pairs.js";

/** @typedef {import("./entries.js").Values} Values */

/** The screen of each test that has one of its own. */
const OWN_SCREEN = [
  "detector",
  "low-impedance",
  "earth",
  "unplug-others",
  "load",
  "frame-continuity",
  "neutral-continuity",
  "rig-bond",
  "upstream-hold",
  AGAIN,
];

/** Tests that read volts with the check's meter; where none was used so far, it is asked for. */
const BY_METER = ["load", "upstream-hold"];

/** @param {string} test @param {string|undefined} outlet @returns {boolean} whether there are screens for it */
export function hasScreens(test, outlet) {
  if (test === "unplug-others" && hasTwoLegs(outlet)) return false;
  return OWN_SCREEN.includes(test) || test === "meter" || test === "lamps";
}

/** @param {Values} values @returns {string[]} the screens of all added tests, in the order in which they were added */
export function addedSteps(values) {
  const tests = addedTests(values).filter((test) => hasScreens(test, values.outlet));
  return [...new Set(tests.flatMap((test) => stepsOfTest(test, values)))];
}

/** @param {string} test @param {Values} values @returns {string[]} */
export function stepsOfTest(test, values) {
  const first = values.by === "none" ? ["ready"] : []; // nothing was made ready for a look alone
  if (test === "meter") return ["meter", ...first, ...voltsSteps(values)];
  if (test === "lamps") return [...lampNames(values), ...first, lampsStep(values)];
  const proof = BY_METER.includes(test) && !beganByMeter(values) ? ["meter"] : [];
  return [...proof, ...first, test];
}

/** @param {Values} values @returns {string[]} */
export const voltsSteps = ({ outlet }) => pairsOf(outlet).map((pair) => `volts.${pair}`);

/** @param {Values} values @returns {string[]} the screens on which the tester's lamps become known, once */
export function lampNames(values) {
  const prefix = lampPrefix(values.outlet);
  if (textAt(values, `${prefix}s_known`) === "yes") return [];
  return prefix === "lamp" && values["lamp.way"] === "learn" ? ["lamp-learn", "lamp-apart"] : [`${prefix}-names`];
}

/** @param {Values} values @returns {string} */
export const lampsStep = ({ outlet }) => `${lampPrefix(outlet)}s`;

/** @param {Values} values */
const beganByMeter = ({ by }) => by !== "lamps" && by !== "none";

/** @param {Values} values @returns {boolean} whether volts between the contacts are part of the check */
export const readsVolts = (values) => beganByMeter(values) || isDone(values, "meter");

/** @param {Values} values @returns {boolean} whether the person said which meter it is */
export const usesMeter = (values) => readsVolts(values) || BY_METER.some((test) => isDone(values, test));

/** @param {Values} values @returns {boolean} whether lamps are part of the check */
export const readsLamps = (values) => values.by === "lamps" || values.by === "both" || isDone(values, "lamps");

/** @param {Values} values @param {string} test @returns {boolean} */
export const isDone = (values, test) => values[`${test}.done`] === "yes";

/** @param {Values} values @returns {string[]} the added tests that count, by id */
export const doneTests = (values) =>
  addedTests(values).filter((test) => isDone(values, test) && hasScreens(test, values.outlet));

/** @param {Values} values @returns {string[]} */
const addedTests = (values) => values.added ?? [];

/**
 * Opens a test: its screens come before the verdict from now on.
 * @param {Values} values changed
 * @param {string} test
 * @returns {string} the screen to show first
 */
export function openTest(values, test) {
  if (test === AGAIN) openAgain(values);
  const others = addedTests(values).filter((other) => other !== test || isDone(values, test));
  values.added = others.includes(test) ? others : [...others, test];
  const steps = stepsOfTest(test, values);
  return (test === "meter" && readsVolts(values) && firstUnread(values)) || (steps[0] ?? test);
}

/** Where volts are read anyway, the pairs that were left out are what is missing. @param {Values} values */
function firstUnread(values) {
  /** @param {string} step */
  const isUnread = (step) => values[`${step}.skipped`] === "yes" || !textAt(values, step);
  return voltsSteps(values).find(isUnread);
}

/**
 * Notes that a test was done on a screen that it shares with the check itself.
 * @param {Values} values changed
 * @param {string} step that is left
 */
export function noteDone(values, step) {
  const tests = addedTests(values);
  if (step.startsWith("volts.") && tests.includes("meter")) values["meter.done"] = "yes";
  if ((step === "lamps" || step === "lamp4s") && tests.includes("lamps")) values["lamps.done"] = "yes";
}

/** @param {string} step @param {Values} values @returns {string|undefined} the added test that a screen belongs to */
export function testOf(step, values) {
  const test = step.startsWith("volts.") ? "meter" : step.replace(/^lamp4s$/, "lamps");
  return addedTests(values).find((added) => added === test);
}

/** What was read at an outlet with other contacts says nothing of these. @param {Values} values changed */
export function changeContacts(values) {
  const legs = hasTwoLegs(values.outlet) ? "two" : "one";
  if (values.legs && values.legs !== legs) {
    forgetReadings(values);
    values["verdict.mending"] = "";
  }
  values.legs = legs;
}

/** @param {Values} values changed */
export function forgetReadings(values) {
  values.added = [];
  for (const name of Object.keys(values))
    if (/(?:^|\.)(?:volts|lamps|after)\.[a-z]-[a-z]|\.done$/.test(name)) Object.assign(values, { [name]: "" });
}
