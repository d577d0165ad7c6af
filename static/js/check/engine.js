// The one place where pages meet the engine. It comes after the first screen, as the rulebook does, and with it all
// that shows a verdict.
import { loadRulebook } from "../sync/rulebook.js";
import { hasTwoLegs, pairsOf } from "./pairs.js";

/** @typedef {typeof import("./judgement.js")} Judgement */

/** @type {Judgement|null} */
let brought = null;

/** Brings the engine. A rulebook is opened only with it, so whoever has a rulebook can judge. */
export async function bringEngine() {
  brought ??= await import("./judgement.js");
}

/** @returns {Judgement} what was brought */
export function broughtEngine() {
  if (!brought) throw new Error("The engine has not been brought.");
  return brought;
}

/**
 * Judges an outlet, as the engine's own does.
 * @type {typeof import("../engine/assess.js").assess}
 */
export function assess(check, rulebook) {
  return broughtEngine().assess(check, rulebook);
}

/** Opens the rulebook: done when there is one, or when there is none to be had. */
export function openRulebook() {
  bringEngine().catch(() => {
    // It comes beside the rulebook; a failure is told below, where it is waited for.
  });
  return loadRulebook(async (text) => {
    await bringEngine();
    const { quickHash, readRulebook } = broughtEngine();
    const rulebook = await readRulebook(text, quickHash);
    checkRulebook(rulebook);
    return rulebook;
  });
}

/** @typedef {import("../../../schemas/shapes/rulebook.d.ts").Rulebook} Rulebook */

/**
 * Throws where a rulebook is damaged. A whole one has then judged once at each kind of outlet, so that the first
 * verdict is not the slow one.
 * @param {Rulebook} rulebook
 */
function checkRulebook(rulebook) {
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
