// Which tests the verdict screen offers.
import { doneTests, hasScreens, readsVolts, usesMeter, voltsSteps } from "./added.js";
import { AGAIN } from "./again.js";
import { barredBy } from "./barred.js";
import { textAt } from "./entries.js";
import { familyOf, outletIn } from "./family.js";
import { standingIn } from "./settling.js";

/** @import { Assessed, Finding } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook, Test } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Bar } from "./barred.js" */
/** @import { Values } from "./entries.js" */

/** Stop findings that come from what the readings may mean, so that another reading may move them. */
const OF_THE_WIRING = ["neutral-lost-upstream"];

/**
 * @typedef {object} Offer
 * @property {string|null} next the proposed test, where it leads on
 * @property {{id: string, isDone: boolean}[]} others tests that can be added by own choice
 * @property {string[]} notYet tests that are dangerous under what is not ruled out
 * @property {Bar|null} barred why those are not to be made yet, and what would open them
 */

/**
 * Gives the tests to offer below a verdict. A test that is dangerous under what is not ruled out is not among them,
 * nor is one that loads an outlet that is not to be used; what was entered already can be changed.
 * @param {Assessed} answer of assess
 * @param {Rulebook} rulebook
 * @param {Values} values
 * @param {"pedestal"|"rig"} where
 * @returns {Offer}
 */
export function offerOf(answer, rulebook, values, where) {
  const { outlet = "", supply } = values;
  if (values.stopped === "yes" || !outletIn(rulebook, outlet))
    return { next: null, others: [], notYet: [], barred: null };
  const standing = standingIn(answer);
  const fed = /** @type {Test["supplies"][number]} */ (supply || "utility");
  /** @param {Test} test */
  const fits = ({ id, supplies, places }) =>
    hasScreens(id, outlet) && supplies.includes(fed) && places.includes(where) && hasSense(id, values);
  const tests = familyOf(rulebook, outlet).tests.filter(fits);
  const proposed = answer.next_test && hasScreens(answer.next_test.id, outlet) ? answer.next_test.id : null;
  const next = isSettled(answer.findings) ? null : proposed;
  const done = doneTests(values);
  const mayBeLoaded = answer.verdict !== "do-not-use" && !isUnknown(standing);
  const allowed = tests
    .filter((test) => isHarmless(test) || (mayBeLoaded && !test.dangerous_under.some((id) => standing.has(id))))
    .map(({ id }) => id);
  const quiet = new Set([
    ...(proposed && !next && proposed !== AGAIN ? [proposed] : []),
    ...allowed,
    ...done.filter((id) => tests.some((test) => test.id === id)),
  ]);
  const notYet = tests.filter(({ id }) => !quiet.has(id) && id !== next);
  const open = tests.filter(({ id }) => allowed.includes(id));
  return {
    next,
    others: [...quiet].filter((id) => id !== next).map((id) => ({ id, isDone: done.includes(id) })),
    notYet: notYet.map(({ id }) => id),
    barred: notYet.length
      ? barredBy(
          { verdict: answer.verdict, isUnknown: isUnknown(standing), standing, notYet },
          { open, done, wirings: familyOf(rulebook, outlet).wirings },
        )
      : null,
  };
}

/** What fits nothing known may be anything, and so may what was not read. @param {Set<string>} standing */
const isUnknown = (standing) => standing.size === 0 || standing.has("other");

/** @param {{is_harmless: boolean, dangerous_under: string[]}} test @returns {boolean} */
const isHarmless = ({ is_harmless, dangerous_under }) => is_harmless || !dangerous_under.length;

/** Stops such as a breaker that is too big stand whatever else is read. @param {Finding[]} findings */
const isSettled = (findings) => findings.some(({ id, level }) => level === "stop" && !OF_THE_WIRING.includes(id));

/**
 * @param {string} id
 * @param {Values} values
 * @returns {boolean} whether it would tell anything that is not read already
 */
function hasSense(id, values) {
  if (id === "meter") return !readsVolts(values) || voltsSteps(values).some((step) => isLeftOut(step, values));
  if (id === "low-impedance") return !(usesMeter(values) && values["meter.input"] === "low-impedance");
  if (id === "lamps") return ["meter", "none"].includes(values.by || "meter");
  return true;
}

/** Where all volts stand on one screen, what is left empty is left out. @param {string} step @param {Values} values */
const isLeftOut = (step, values) =>
  values[`${step}.skipped`] === "yes" || (values.quick === "yes" && !textAt(values, step));
