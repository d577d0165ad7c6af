// From likelihoods to explanations. Twin of fieldlog/engine/explanations.py, where the reasons stand.

import { has, LAMP_PAIRS, PAIRS } from "./intake.js";
import { lampsLikelihood, readingError, voltsLikelihood } from "./likelihood.js";

export const OTHER = "other";
const TWINS_BY = "high-impedance";
const OTHER_SHARE = 0.05;
const OTHER_VOLTS = 300;
const SHOWN_FROM = 0.001;
const RULED_OUT_BELOW = 0.05;

/**
 * Weigh every wiring of the rulebook against the volts and lamps of a check.
 * @returns {{probabilities: [string, number][], notRuledOut: string[], first: string}}
 */
export function explain(check, rulebook) {
  const likelihoods = likelihoodsOf(check, rulebook);
  const weights = weightsOf(check, rulebook, likelihoods);
  let other = likelihoodOfOther(check);
  rulebook.wirings.forEach((wiring, i) => {
    if (!wiring.is_named) other = other + weights[i];
  });
  let total = other;
  rulebook.wirings.forEach((wiring, i) => {
    if (wiring.is_named) total = total + weights[i];
  });
  const probabilities = [];
  let rest = other / total;
  rulebook.wirings.forEach((wiring, i) => {
    if (!wiring.is_named) return;
    const probability = weights[i] / total;
    if (probability >= SHOWN_FROM) probabilities.push([wiring.id, probability]);
    else rest = rest + probability;
  });
  probabilities.push([OTHER, rest < 1 ? rest : 1]);
  const first = firstOf(probabilities);
  return { probabilities, first, notRuledOut: notRuledOut(check, rulebook, likelihoods, first) };
}

/** Tell whether an explanation lets the outlet be used, on this supply and at this place. */
export function isUsable(wiring, check) {
  const use = has(wiring.usable, check.supply) ? wiring.usable[check.supply] : null;
  return use === "always" || (use === "at-pedestal" && check.where === "pedestal");
}

function firstOf(probabilities) {
  let [bestName, best] = [OTHER, -1];
  for (const [name, probability] of probabilities) {
    if (probability > best) [bestName, best] = [name, probability];
  }
  return bestName;
}

function likelihoodsOf(check, rulebook) {
  const byVolts = volts(check, rulebook);
  const byLamps = lamps(check, rulebook);
  const meter = check.meter.input;
  return rulebook.wirings.map((wiring) => byVolts[wiring.sets[meter]] * byLamps[wiring.sets.lamps]);
}

function volts(check, rulebook) {
  const sets = rulebook.meters[check.meter.input];
  const readings = [];
  PAIRS.forEach((pair, index) => {
    if (!has(check.volts, pair)) return;
    const value = check.volts[pair];
    readings.push([index, value, readingError(value, check.meter.accuracyPercent, check.meter.accuracyVolts)]);
  });
  return readings.length === 0 ? sets.map(() => 1) : sets.map((one) => voltsLikelihood(one, readings));
}

function lamps(check, rulebook) {
  if (Object.keys(check.lamps).length === 0) return rulebook.lamps.map(() => 1);
  const seen = LAMP_PAIRS.map((pair) => check.lamps[pair] ?? null);
  return rulebook.lamps.map((one) => lampsLikelihood(one, seen));
}

function weightsOf(check, rulebook, likelihoods) {
  const keys = rulebook.wirings.map((wiring) => twinKey(check, rulebook, wiring));
  const sums = new Map();
  rulebook.wirings.forEach((wiring, i) => {
    if (wiring.is_named) sums.set(keys[i], (sums.get(keys[i]) ?? 0) + wiring.prior[check.supply]);
  });
  return rulebook.wirings.map((wiring, i) => {
    const group = wiring.is_named ? sums.get(keys[i]) : 1;
    return likelihoods[i] * (wiring.prior[check.supply] / group);
  });
}

function twinKey(check, rulebook, wiring) {
  const byVolts = rulebook.meters[TWINS_BY][wiring.sets[TWINS_BY]].classes;
  const byLamps = rulebook.lamps[wiring.sets.lamps].classes;
  const voltsKey = PAIRS.map((pair, i) => (has(check.volts, pair) ? byVolts[i] : "")).join("");
  return `${voltsKey}/${LAMP_PAIRS.map((pair, i) => (has(check.lamps, pair) ? byLamps[i] : "")).join("")}`;
}

function likelihoodOfOther(check) {
  let likelihood = OTHER_SHARE;
  for (const pair of PAIRS) if (has(check.volts, pair)) likelihood = likelihood / OTHER_VOLTS;
  for (const pair of LAMP_PAIRS) if (has(check.lamps, pair)) likelihood = likelihood / 3;
  return likelihood;
}

function notRuledOut(check, rulebook, likelihoods, first) {
  let best = 0;
  for (const likelihood of likelihoods) if (likelihood > best) best = likelihood;
  return rulebook.wirings
    .filter((wiring, i) => likelihoods[i] >= RULED_OUT_BELOW * best && wiring.is_named && wiring.is_dangerous)
    .filter((wiring) => !isUsable(wiring, check) && wiring.id !== first)
    .map((wiring) => wiring.id);
}
