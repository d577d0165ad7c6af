// How well each way of each explanation fits what was read. Twin of fieldlog/engine/reading_sets.py.

import { LAMP_STATES } from "./check.js";
import { has } from "./intake.js";
import { lampsLikelihood, loadFits, loadReadings, measuredDrop, meterReadings, voltsFit } from "./likelihood.js";
import { liveSets } from "./sets.js";

/** @import { Check, Link, ReadingSet, State } from "./check.js" */
/** @import { Fit, Kernel } from "./likelihood.js" */
/** @import { Family, Rules, Way } from "./rulebook.js" */
/**
 * @typedef {{likelihoods: number[], fits: number[], other: number}} Joint
 * by way of the family; other: what no wiring gives
 */

const SWAPPED_NEUTRAL = "neutral-ground-reversed";
const NEUTRAL_TO_GROUND = "n-g";
const NO_FIT = { mean: 1, best: 1 };

/**
 * Give how well each way and what no wiring gives fit all sets, continuity and trip tests.
 * @param {Check} check
 * @param {Family} family
 * @param {Rules} rulebook
 * @returns {Joint}
 */
export function jointLikelihoods(check, family, rulebook) {
  let total = family.ways.map(() => 1);
  let fits = total;
  let other = rulebook.limit("other-share");
  const sets = liveSets(check);
  const isUnplugged = sets.some(({ state }) => state === "unplugged");
  for (const one of sets) {
    const found = ofSet(one, family, rulebook);
    const [means, bests] = /** @type {(keyof Fit)[]} */ (["mean", "best"]).map((part) => {
      const values = found.map((fit) => fit[part]);
      return isUnplugged ? withLoadGone(values, family, one.state) : values;
    });
    total = products(total, means);
    fits = products(fits, bests);
    other = other * otherOfSet(one, rulebook);
    const largest = largestOf(total, other);
    const best = largestOf(fits, 0);
    total = total.map((value) => value / largest);
    other = other / largest;
    fits = fits.map((value) => value / best);
  }
  const factors = family.ways.map((way) => wayFactor(check, way, family, rulebook));
  for (const _ of Object.keys(check.continuity)) other = other * 0.5;
  return { likelihoods: products(total, factors), fits: products(fits, factors), other };
}

/** @param {number[]} one @param {number[]} two */
const products = (one, two) => one.map((value, i) => value * two[i]);

/** @param {number[]} values @param {number} least */
function largestOf(values, least) {
  let largest = least;
  for (const value of values) if (value > largest) largest = value;
  return largest > 0 ? largest : 1;
}

/**
 * Give how well each way fits one set.
 * @param {ReadingSet} one
 * @param {Family} family
 * @param {Rules} rulebook
 * @returns {Fit[]}
 */
export function ofSet(one, family, rulebook) {
  const own = sideOf(one, family, rulebook);
  const other = family.isMirrored ? sideOf(mirrored(one, family), family, rulebook) : own;
  return family.ways.map(({ wiring, variant, isMirrored }) => {
    const sets = family.wirings[wiring].sets[variant];
    const side = isMirrored ? other : own;
    const volts = side.volts[sets[side.voltsKind]];
    const lamps = side.lamps[sets[side.lampsKind]];
    const load = side.load[sets[side.loadKind]];
    return { mean: volts.mean * lamps * load.mean, best: volts.best * lamps * load.best };
  });
}

/** @param {ReadingSet} one @param {Family} family @param {Rules} rulebook */
function sideOf(one, family, rulebook) {
  const tester = testerOf(one, family);
  const across = one.loaded === null ? family.acrosses[0] : one.loaded.across;
  return {
    voltsKind: one.meter.input,
    volts: byVolts(one, family, rulebook.kernel),
    lampsKind: tester,
    lamps: byLamps(one, family, rulebook, tester),
    loadKind: `load ${across}`,
    load: byLoad(one, family, across, rulebook.kernel),
  };
}

/** @param {ReadingSet} one @param {Family} family @returns {ReadingSet} */
function mirrored(one, family) {
  const loaded =
    one.loaded === null
      ? null
      : {
          ...one.loaded,
          across: family.mirror[one.loaded.across] ?? one.loaded.across,
          volts: swapped(one.loaded.volts, family),
        };
  return { ...one, volts: swapped(one.volts, family), lamps: swapped(one.lamps, family), loaded };
}

/** @template Reading @param {Record<string, Reading>} read @param {Family} family */
function swapped(read, family) {
  /** @type {Record<string, Reading>} */
  const found = {};
  for (const pair of family.pairs) {
    const from = family.mirror[pair] ?? pair;
    if (has(read, from)) found[pair] = read[from];
  }
  return found;
}

/** @param {ReadingSet} one @param {Family} family */
function testerOf(one, family) {
  const seen = Object.keys(one.lamps);
  const legs = seen.filter((pair) => pair !== NEUTRAL_TO_GROUND);
  if (legs.length === 0) return "lamps";
  return family.testerNames.find((name) => seen.every((pair) => family.testers[name].includes(pair))) ?? "lamps";
}

/** @param {ReadingSet} one @param {Family} family @param {Kernel} kernel */
function byVolts(one, family, kernel) {
  const sets = family.meters[one.meter.input];
  if (Object.keys(one.volts).length === 0) return sets.map(() => NO_FIT);
  const readings = meterReadings(one, family.pairs, kernel);
  return sets.map((set) => voltsFit(set, readings, kernel));
}

/** @param {ReadingSet} one @param {Family} family @param {Rules} rulebook @param {string} tester */
function byLamps(one, family, rulebook, tester) {
  /** @type {[number, number][]} */
  const looked = [];
  family.testers[tester].forEach((pair, place) => {
    if (has(one.lamps, pair)) looked.push([place, LAMP_STATES.indexOf(one.lamps[pair])]);
  });
  if (looked.length === 0) return family.lamps[tester].map(() => 1);
  return family.lamps[tester].map((set) => lampsLikelihood(set, looked, rulebook.misread));
}

/** @param {ReadingSet} one @param {Family} family @param {string} across @param {Kernel} kernel */
function byLoad(one, family, across, kernel) {
  const sets = family.loads[across];
  const { loaded } = one;
  if (loaded === null || Object.keys(loaded.volts).length === 0) return sets.map(() => NO_FIT);
  const readings = loadReadings(one, loaded.volts, family.barePairs, kernel);
  const neutral = family.pairs.indexOf(NEUTRAL_TO_GROUND);
  return sets.map((set) => loadFits(set, readings, neutral, loaded.amps, measuredDrop(one), kernel));
}

/** @param {ReadingSet} one @param {Rules} rulebook */
function otherOfSet(one, rulebook) {
  let likelihood = 1;
  const otherVolts = rulebook.limit("other-volts");
  for (const _ of Object.keys(one.volts)) likelihood = likelihood / otherVolts;
  for (const _ of Object.keys(one.lamps)) likelihood = likelihood / 3;
  for (const pair of Object.keys(one.loaded?.volts ?? {})) {
    if (!pair.endsWith("-e")) likelihood = likelihood / otherVolts;
  }
  return likelihood;
}

/** @param {number[]} found @param {Family} family @param {State} state */
function withLoadGone(found, family, state) {
  const kept = [...found];
  const ids = family.ways.map(({ wiring }) => family.wirings[wiring].id);
  family.ways.forEach(({ wiring }, place) => {
    const left = family.wirings[wiring].when_unplugged;
    if (!left) return;
    const behind = ids.indexOf(left);
    if (state === "as-found" && found[place] > kept[behind]) kept[behind] = found[place];
    kept[place] = 0;
  });
  return kept;
}

/** @param {Check} check @param {Way} way @param {Family} family @param {Rules} rulebook */
function wayFactor(check, way, family, rulebook) {
  const wiring = family.wirings[way.wiring];
  if (wiring.id === SWAPPED_NEUTRAL && hasHeldUpstream(check, rulebook)) return 0;
  let factor = 1;
  const misread = rulebook.limit("continuity-misread");
  for (const [pair, state] of Object.entries(check.continuity)) {
    const expected = wiring.continuity[way.variant][check.where][/** @type {Link} */ (pair)];
    factor = factor * (expected === state ? 1 - misread : misread);
  }
  return factor;
}

/**
 * Tell whether a device upstream tripped by its button, reset, and then held a load of 1 A or more.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function hasHeldUpstream(check, rulebook) {
  const least = rulebook.limit("load-least");
  const isLoaded = liveSets(check).some(({ loaded }) => loaded !== null && loaded.amps >= least);
  return (
    isLoaded &&
    check.trip.some((trip) => trip.by === "button" && trip.device === "upstream" && trip.tripped && trip.reset)
  );
}

/**
 * Give the probability of all lamps of a check under one explanation, nothing else considered.
 * @param {Check} check
 * @param {string} name
 * @param {Family} family
 * @param {Rules} rulebook
 */
export function lampsAlone(check, name, family, rulebook) {
  let likelihood = 1;
  for (const one of liveSets(check)) {
    if (Object.keys(one.lamps).length > 0) likelihood = likelihood * lampsOfWiring(one, name, family, rulebook);
  }
  return likelihood;
}

/** @param {ReadingSet} one @param {string} name @param {Family} family @param {Rules} rulebook */
function lampsOfWiring(one, name, family, rulebook) {
  let total = 0;
  let count = 0;
  const other = family.isMirrored ? mirrored(one, family) : one;
  for (const { wiring, variant, isMirrored } of family.ways) {
    if (family.wirings[wiring].id !== name) continue;
    const side = isMirrored ? other : one;
    const tester = testerOf(side, family);
    total = total + byLamps(side, family, rulebook, tester)[family.wirings[wiring].sets[variant][tester]];
    count = count + 1;
  }
  return total / count;
}
