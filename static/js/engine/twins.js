// Which ways of which explanations the readings cannot tell apart. Twin of fieldlog/engine/twins.py.

import { liveSets } from "./sets.js";

const TWINS_BY = "high-impedance";

/** Give each way's share of the priors in its group of twins; an unnamed one's own prior. */
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

function shapeOf(one) {
  const loaded = one.loaded === null ? [] : Object.keys(one.loaded.volts);
  return {
    read: Object.keys(one.volts),
    lit: Object.keys(one.lamps),
    across: one.loaded === null ? "" : one.loaded.across,
    loaded: loaded.filter((pair) => !pair.endsWith("-e")),
  };
}

function priorOf({ wiring }, family, supply) {
  const { prior, variants } = family.wirings[wiring];
  return prior[supply] / (variants.length * (family.isMirrored ? 2 : 1));
}

function twinKey(way, family, check, shapes) {
  const wiring = family.wirings[way.wiring];
  const sets = wiring.sets[way.variant];
  const continuity = wiring.continuity[way.variant][check.where];
  const inMirror = (pair) => (way.isMirrored ? (family.mirror[pair] ?? pair) : pair);
  const parts = shapes.map((shape) => setKey(shape, sets, family, inMirror));
  for (const pair of Object.keys(check.continuity)) parts.push(continuity[pair]);
  return parts.join("|");
}

function setKey({ read, lit, across, loaded }, sets, family, inMirror) {
  const volts = family.meters[TWINS_BY][sets[TWINS_BY]].classes;
  const lamps = family.lamps.lamps[sets.lamps].classes;
  const key = `${letters(volts, read, family.pairs, inMirror)}/${letters(lamps, lit, family.lampPairs, inMirror)}`;
  if (across === "") return key;
  const load = family.loads[inMirror(across)][sets[`load ${inMirror(across)}`]];
  return `${key}/${letters(load.classes, loaded, family.pairs, inMirror)}`;
}

const letters = (classes, pairs, all, inMirror) => pairs.map((pair) => classes[all.indexOf(inMirror(pair))]).join("");
