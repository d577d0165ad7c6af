// Why a test is not to be made yet, and which of the tests at hand would open it.
import { dangersIn, fewest, tellersOf } from "./settling.js";

/**
 * @typedef {object} Bar
 * @property {"not-used"|"unknown"|"standing"} why the outlet is not to be used; what was read fits nothing known;
 *   explanations are not ruled out
 * @property {string[]} by the explanations that are not ruled out and make it dangerous
 * @property {string[]} first the tests that tell those best from right wiring and were not made
 */

/** @import { Test } from "../../../schemas/shapes/rulebook.d.ts" */

/**
 * @param {{verdict: string, isUnknown: boolean, standing: Set<string>, notYet: Test[]}} why
 * @param {{open: Test[], done: string[], wirings: {id: string}[]}} known
 * @returns {Bar}
 */
export function barredBy({ verdict, isUnknown, standing, notYet }, { open, done, wirings }) {
  if (verdict === "do-not-use") return { why: "not-used", by: [], first: [] };
  if (isUnknown) return { why: "unknown", by: [], first: [] };
  const by = dangersIn(standing, notYet);
  const tellers = tellersOf(by, open, wirings).map((tests) => tests.filter((test) => !done.includes(test)));
  return { why: "standing", by, first: fewest(tellers.filter((tests) => tests.length)) };
}
