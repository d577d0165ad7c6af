// The one place where pages meet the engine.
import { assess } from "../engine/assess.js";
import { hasTwoLegs, pairsOf } from "./pairs.js";

export { assess };

/** @typedef {import("../../../schemas/shapes/rulebook.d.ts").Rulebook} Rulebook */

/**
 * Throws where a rulebook is damaged. A whole one has then judged once at each kind of outlet, so that the first
 * verdict is not the slow one.
 * @param {Rulebook} rulebook
 */
export function checkRulebook(rulebook) {
  const outlets = Object.keys(rulebook.outlets);
  for (const outlet of [outlets.find((id) => !hasTwoLegs(id)), outlets.find(hasTwoLegs)])
    if (outlet) assess(sample(outlet), rulebook);
}

/** @param {string} outlet */
function sample(outlet) {
  /** @param {string} pair */
  const hot = (pair) => !["x-y", "n-g"].includes(pair);
  /** @param {unknown} usual @param {unknown} legs @param {unknown} none */
  const of = (usual, legs, none) =>
    Object.fromEntries(pairsOf(outlet).map((pair) => [pair, hot(pair) ? usual : pair === "x-y" ? legs : none]));
  return { outlet, look: [], volts: of(120, 240, 0), lamps: of("lit", "lit", "dark") };
}
