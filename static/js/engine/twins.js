// Which ways of which explanations the readings cannot tell apart. Twin of fieldlog/engine/twins.py.

import { liveSets } from "./sets.js";

/** @import { Check, Link, ReadingSet, Source } from "./check.js" */
/** @import { Family, Way } from "./rulebook.js" */
/** @typedef {ReturnType<typeof shapeOf>} Shape which pairs a set holds */

const TWINS_BY = "high-impedance";

/**
 * Give each way's share of the priors in its group of twins; an unnamed one's own prior.
 * @param {Check} check
 * @param {Family} family
 */
export function sharesOfPriors(check, family) {
  const shapes = liveSets(check).map(shapeOf);
  const keys = family.ways.map((way) => twinKey(way, family, check, shapes));
  const priors = family.ways.map((way) => priorOf(way, family, check.supply));
  const sums = new Map();
  family.ways.forEach(({ wiring }, i) => {
    if (family.wirings[wiring].is_named) sums.set(keys[i], (sums.get(keys[i]) ?? 0) + priors[i]);
  });
  return family.ways.map(({ wiring }, i) =>
    family.wirings[wiring].is_named ? priors[i] / sums.get(keys[i]) : priors[i],
  );
}

/** @param {ReadingSet} one */
function shapeOf(one) {
  const loaded = one.loaded === null ? [] : Object.keys(one.loaded.volts);
  return {
    read: Object.keys(one.volts),
    lit: Object.keys(one.lamps),
    across: one.loaded === null ? "" : one.loaded.across,
    loaded: loaded.filter((pair) => !pair.endsWith("-e")),
  };
}

/**
 * Divide an explanation's prior evenly between its ways.
 * @param {Way} way
 * @param {Family} family
 * @param {Source} supply
 */
export function priorOf({ wiring }, family, supply) {
  const { prior, variants } = family.wirings[wiring];
  return prior[supply] / (variants.length * (family.isMirrored ? 2 : 1));
}

/** @param {Way} way @param {Family} family @param {Check} check @param {Shape[]} shapes */
function twinKey(way, family, check, shapes) {
  const wiring = family.wirings[way.wiring];
  const sets = wiring.sets[way.variant];
  const continuity = wiring.continuity[way.variant][check.where];
  /** @param {string} pair */
  const inMirror = (pair) => (way.isMirrored ? (family.mirror[pair] ?? pair) : pair);
  const parts = shapes.map((shape) => setKey(shape, sets, family, inMirror));
  for (const pair of Object.keys(check.continuity)) parts.push(continuity[/** @type {Link} */ (pair)]);
  return parts.join("|");
}

/**
 * @param {Shape} shape
 * @param {Record<string, number>} sets
 * @param {Family} family
 * @param {(pair: string) => string} inMirror
 */
function setKey({ read, lit, across, loaded }, sets, family, inMirror) {
  const volts = family.meters[TWINS_BY][sets[TWINS_BY]].classes;
  const lamps = family.lamps.lamps[sets.lamps].classes;
  const key = `${letters(volts, read, family.pairs, inMirror)}/${letters(lamps, lit, family.lampPairs, inMirror)}`;
  if (across === "") return key;
  const load = family.loads[inMirror(across)][sets[`load ${inMirror(across)}`]];
  return `${key}/${letters(load.classes, loaded, family.pairs, inMirror)}`;
}

/** @param {string} classes @param {string[]} pairs @param {string[]} all @param {(pair: string) => string} inMirror */
const letters = (classes, pairs, all, inMirror) => pairs.map((pair) => classes[all.indexOf(inMirror(pair))]).join("");
