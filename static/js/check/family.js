// What the rulebook knows about an outlet's family: its wirings, its tests, and the words that differ for it.

/** @import { ExplanationWords, Family, Outlet, Rulebook, TestWords } from "../../../schemas/shapes/rulebook.d.ts" */

/** @param {Rulebook} rulebook @param {string|undefined} outlet @returns {Outlet|undefined} */
export const outletIn = ({ outlets }, outlet) => /** @type {Partial<Record<string, Outlet>>} */ (outlets)[outlet ?? ""];

/** @param {Rulebook} rulebook @param {string} outlet @returns {Family} */
export function familyOf(rulebook, outlet) {
  const found = outletIn(rulebook, outlet);
  if (!found) throw new Error(`The rulebook knows no outlet ${outlet}.`);
  return rulebook.families[found.family];
}

/**
 * Gives an entry of the rulebook's words as it is said of this outlet.
 * @template {"explanations"|"tests"} Kind
 * @param {Rulebook} rulebook
 * @param {string|undefined} outlet
 * @param {Kind} kind
 * @param {string} id
 * @returns {Partial<Kind extends "tests" ? TestWords : ExplanationWords>} empty where there are no words
 */
export function wordsOf(rulebook, outlet, kind, id) {
  const said = /** @type {Record<string, any>} */ (rulebook.words[kind][id] ?? {});
  return { ...said, ...said[outletIn(rulebook, outlet)?.family ?? ""] };
}

/** @param {string|string[]|undefined} sentences @returns {string[]} one sentence or a list of them, as a list */
export const listOf = (sentences) => [sentences ?? []].flat();
