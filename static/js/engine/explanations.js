// From likelihoods to explanations. Twin of fieldlog/engine/explanations.py, where the reasons stand.

import { has } from "./intake.js";
import { isBehind120Volts } from "./limits.js";
import { jointLikelihoods } from "./reading-sets.js";
import { sharesOfPriors } from "./twins.js";

/** @import { Check } from "./check.js" */
/** @import { Joint } from "./reading-sets.js" */
/** @import { Family, Rules } from "./rulebook.js" */
/** @import { Wiring } from "../../../schemas/shapes/rulebook.d.ts" */

export const OTHER = "other";
export const CORRECT = "correct";
const ONE_HOT = "same-leg";

/**
 * @typedef {object} Explanations
 * @property {[string, number][]} probabilities in the order of the rulebook
 * @property {string[]} notRuledOut
 * @property {string} unnamed the wiring without a name that fits best, or ""
 * @property {string} first
 */

/** @type {Explanations} Nothing was read: no explanations. */
export const NOTHING_READ = { probabilities: [], notRuledOut: [], unnamed: "", first: "" };

/**
 * Weigh every wiring of the outlet's family against all that was read.
 * @returns {Explanations}
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function explain(check, rulebook) {
  const family = rulebook.familyOf(check.outlet);
  const joint = jointLikelihoods(check, family, rulebook);
  const shares = sharesOfPriors(check, family);
  const weights = overWays(
    joint.likelihoods.map((likelihood, i) => likelihood * shares[i]),
    family,
  );
  let { other } = joint;
  let unnamed = "";
  let largest = 0;
  family.wirings.forEach((wiring, i) => {
    if (wiring.is_named) return;
    other = other + weights[i];
    if (weights[i] > largest) [unnamed, largest] = [wiring.id, weights[i]];
  });
  const probabilities = probabilitiesOf(family, weights, other, rulebook.limit("shown-from"));
  const first = firstOf(probabilities);
  return {
    probabilities,
    first,
    unnamed: largest > other / 2 ? unnamed : "",
    notRuledOut: notRuledOut(check, family, joint, first, rulebook),
  };
}

/**
 * Tell whether an explanation lets the outlet be used, on this supply, at this place, behind adapters.
 * @param {Wiring} wiring
 * @param {Check} check
 */
export function isUsable(wiring, check) {
  if (isBehind120Volts(check) && [CORRECT, ONE_HOT].includes(wiring.id)) return wiring.id === ONE_HOT;
  const use = has(wiring.usable, check.supply) ? wiring.usable[check.supply] : null;
  return use === "always" || (use === "at-pedestal" && check.where === "pedestal");
}

/**
 * Add up each explanation's ways, mirror images first, so that swapping the hots changes no bit.
 * @param {number[]} values
 * @param {Family} family
 */
function overWays(values, family) {
  const sides = family.isMirrored ? 2 : 1;
  let place = 0;
  return family.wirings.map(({ variants }) => {
    let total = 0;
    for (const _ of variants) {
      total = total + (sides === 2 ? values[place] + values[place + 1] : values[place]);
      place += sides;
    }
    return total;
  });
}

/** @param {Explanations["probabilities"]} probabilities */
function firstOf(probabilities) {
  let [bestName, best] = [OTHER, -1];
  for (const [name, probability] of probabilities) {
    if (probability > best) [bestName, best] = [name, probability];
  }
  return bestName;
}

/** @param {Family} family @param {number[]} weights @param {number} other @param {number} shownFrom */
function probabilitiesOf(family, weights, other, shownFrom) {
  let total = other;
  family.wirings.forEach((wiring, i) => {
    if (wiring.is_named) total = total + weights[i];
  });
  /** @type {Explanations["probabilities"]} */
  const shown = [];
  let rest = other / total;
  family.wirings.forEach((wiring, i) => {
    if (!wiring.is_named) return;
    const probability = weights[i] / total;
    if (probability >= shownFrom) shown.push([wiring.id, probability]);
    else rest = rest + probability;
  });
  shown.push([OTHER, rest < 1 ? rest : 1]);
  return shown;
}

/** @param {Check} check @param {Family} family @param {Joint} joint @param {string} first @param {Rules} rulebook */
function notRuledOut(check, family, joint, first, rulebook) {
  const least = rulebook.limit("ruled-out-below");
  const likelihoods = means(joint.likelihoods, family);
  const fits = bests(joint.fits, family);
  const leastLikelihood = least * bestNamed(likelihoods, family);
  const leastFit = rulebook.limit("fits-well") * bestNamed(fits, family);
  return family.wirings
    .filter((wiring, i) => (likelihoods[i] >= leastLikelihood || fits[i] >= leastFit) && wiring.is_named)
    .filter((wiring) => wiring.is_dangerous && !isUsable(wiring, check) && wiring.id !== first)
    .map((wiring) => wiring.id);
}

/** @param {number[]} values @param {Family} family */
function bestNamed(values, { wirings }) {
  return Math.max(...values.filter((_, i) => wirings[i].is_named));
}

/** @param {number[]} values @param {Family} family */
function means(values, family) {
  const sides = family.isMirrored ? 2 : 1;
  return overWays(values, family).map((total, i) => total / (family.wirings[i].variants.length * sides));
}

/** @param {number[]} values @param {Family} family */
function bests(values, family) {
  const found = family.wirings.map(() => 0);
  family.ways.forEach(({ wiring }, i) => {
    if (values[i] > found[wiring]) found[wiring] = values[i];
  });
  return found;
}
