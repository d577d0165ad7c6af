// Readings round a loop of contacts must close. Twin of fieldlog/engine/loops.py, where the reasons stand.

import { isEarthProved } from "./earth.js";
import { has } from "./intake.js";
import { finding, OWN_CHOICE } from "./limits.js";
import { ofSet } from "./reading-sets.js";
import { priorOf } from "./twins.js";

/** @import { Check, Meter, ReadingSet, Volts } from "./check.js" */
/** @import { Family, Loop, Rules } from "./rulebook.js" */
/**
 * @typedef {object} Doubt readings of one set that cannot belong to one outlet
 * @property {number} place of the set
 * @property {string} quantity the pair that is most likely wrong
 * @property {number} value its reading [V]
 * @property {string[]} pairs what to read again, the likeliest first
 * @property {string[]} loop
 */
/** @typedef {{check: Check, replaced: [string, number][], doubt: Doubt|null}} CheckAsCounted a check as it counts */

const BOTH_HOTS = "x-y";
const EARTH = "e";

/**
 * Find readings that do not add up, and whether a second reading of a pair ends the doubt.
 * @param {Check} check
 * @param {Rules} rulebook
 * @returns {CheckAsCounted}
 */
export function settled(check, rulebook) {
  /** @type {[string, number][]} */
  const replaced = [];
  let counted = check;
  for (let place = 0; place < check.sets.length; place += 1) {
    const current = counted.sets[place];
    const loop = mustClose(current, counted) ? broken(current, counted, rulebook) : null;
    if (loop === null) continue;
    const again = readAgain(place, current, counted);
    const mended = { ...current, volts: { ...current.volts, ...again } };
    if (Object.keys(again).length > 0 && broken(mended, counted, rulebook) === null) {
      for (const pair of Object.keys(current.volts)) if (has(again, pair)) replaced.push([pair, current.volts[pair]]);
      counted = withSet(counted, place, mended, again);
      continue;
    }
    const open = loop.filter((pair) => !isConfirmed(pair, place, counted, rulebook));
    if (open.length > 0) return { check: counted, replaced, doubt: doubtOf(place, current, open, counted, rulebook) };
  }
  return { check: counted, replaced, doubt: null };
}

/**
 * Whether a set's readings are of a live outlet, and not taken to see what a low impedance pulls down.
 * @param {ReadingSet} one
 * @param {Check} check
 */
function mustClose(one, check) {
  if (one.state === "breaker-off") return false;
  if (one.meter.input !== "low-impedance") return true;
  return !check.sets.some(
    ({ volts, state, meter }) =>
      Object.keys(volts).length > 0 && state === one.state && meter.input === "high-impedance",
  );
}

/** @param {Loop} loop @param {Volts} volts @param {Meter} meter @param {Rules} rulebook */
export function missesBy(loop, volts, meter, rulebook) {
  let largest = 0;
  let total = 0;
  let errors = 0;
  for (const pair of loop) {
    const value = volts[pair];
    largest = value > largest ? value : largest;
    total = total + value;
    errors = errors + ((value * meter.accuracyPercent) / 100 + meter.accuracyVolts);
  }
  const margin = rulebook.limit(loop.includes(BOTH_HOTS) ? "loop-misses-legs" : "loop-misses");
  return largest - (total - largest) - errors - margin;
}

/**
 * Whether three readings of a set were made and add up.
 * @param {Loop} loop
 * @param {ReadingSet} one
 * @param {Rules} rulebook
 */
export const closes = (loop, one, rulebook) =>
  loop.every((pair) => has(one.volts, pair)) && !(missesBy(loop, one.volts, one.meter, rulebook) > 0);

/** @param {ReadingSet} one @param {Check} check @param {Rules} rulebook @returns {Loop|null} */
function broken(one, check, rulebook) {
  const family = rulebook.familyOf(check.outlet);
  /** @type {Loop|null} */
  let worst = null;
  let most = 0;
  for (const loop of family.loops) {
    if (loop.some((pair) => !has(one.volts, pair))) continue;
    if (loop[2].endsWith(`-${EARTH}`) && !isEarthProved(one, check, rulebook)) continue;
    const miss = missesBy(loop, one.volts, one.meter, rulebook);
    if (miss > most) [worst, most] = [loop, miss];
  }
  if (worst === null) return null;
  const bests = ofSet(voltsAlone(one, one.volts), family, rulebook).map(({ best }) => best);
  return bests.some((best) => best >= rulebook.limit("loop-explained-from")) ? null : worst;
}

/** @param {ReadingSet} one @param {Volts} volts @returns {ReadingSet} */
const voltsAlone = ({ state, meter }, volts) => ({ state, meter, volts, lamps: {}, loaded: null });

/** @param {number} place @param {ReadingSet} one @param {Check} check */
function readAgain(place, one, check) {
  /** @type {Volts} */
  const again = {};
  for (const later of check.sets.slice(place + 1)) {
    if (!isLike(one, later)) continue;
    for (const pair of Object.keys(later.volts)) if (has(one.volts, pair)) again[pair] = later.volts[pair];
  }
  return again;
}

/** @param {ReadingSet} one @param {ReadingSet} later */
const isLike = (one, later) => later.state === one.state && later.meter.input === one.meter.input;

/** @param {Check} check @param {number} place @param {ReadingSet} mended @param {Volts} again @returns {Check} */
function withSet(check, place, mended, again) {
  const one = check.sets[place];
  const sets = check.sets.map((each, at) => {
    if (at === place) return mended;
    if (at < place || !isLike(one, each)) return each;
    const kept = Object.entries(each.volts).filter(([pair]) => !has(again, pair));
    return { ...each, volts: Object.fromEntries(kept) };
  });
  return { ...check, sets };
}

/** @param {string} pair @param {number} place @param {Check} check @param {Rules} rulebook */
function isConfirmed(pair, place, check, rulebook) {
  const one = check.sets[place];
  const others = check.sets.filter((each, at) => at !== place && isLike(one, each) && has(each.volts, pair));
  return others.some((each) => agree(one.volts[pair], each.volts[pair], one, rulebook));
}

/** @param {number} first @param {number} second @param {ReadingSet} one @param {Rules} rulebook */
function agree(first, second, one, rulebook) {
  const apart = first > second ? first - second : second - first;
  const error = ((first + second) * one.meter.accuracyPercent) / 100 + 2 * one.meter.accuracyVolts;
  return !(apart > error + rulebook.limit("loop-misses"));
}

/**
 * @param {number} place
 * @param {ReadingSet} one
 * @param {string[]} loop
 * @param {Check} check
 * @param {Rules} rulebook
 * @returns {Doubt}
 */
function doubtOf(place, one, loop, check, rulebook) {
  const family = rulebook.familyOf(check.outlet);
  const told = loop.map((pair) => restWithout(pair, one, check, family, rulebook));
  let at = 0;
  told.forEach((likelihood, i) => {
    if (likelihood > told[at]) at = i;
  });
  const least = rulebook.limit("read-again-also") * told[at];
  const also = loop.filter((_, i) => told[i] >= least && i !== at);
  return { place, quantity: loop[at], value: one.volts[loop[at]], pairs: [loop[at], ...also], loop };
}

/** @param {string} pair @param {ReadingSet} one @param {Check} check @param {Family} family @param {Rules} rulebook */
function restWithout(pair, one, check, family, rulebook) {
  const rest = Object.fromEntries(Object.entries(one.volts).filter(([other]) => other !== pair));
  const found = ofSet(voltsAlone(one, rest), family, rulebook);
  let total = 0;
  family.ways.forEach((way, i) => {
    total = total + found[i].mean * priorOf(way, family, check.supply);
  });
  return total;
}

/**
 * Give a check without one reading of the set in doubt.
 * @param {Check} check
 * @param {Doubt} doubt
 * @param {string} pair
 * @returns {Check}
 */
export function withoutReading(check, doubt, pair) {
  const sets = check.sets.map((one, place) => {
    if (place !== doubt.place) return one;
    return { ...one, volts: Object.fromEntries(Object.entries(one.volts).filter(([own]) => own !== pair)) };
  });
  return { ...check, sets };
}

/**
 * Say what is in doubt, and what was replaced.
 * @param {CheckAsCounted} found
 */
export function loopFindings({ replaced, doubt }) {
  const later = replaced.map(([quantity, value]) =>
    finding("reading-replaced", "note", OWN_CHOICE, { quantity, value }),
  );
  if (doubt === null) return later;
  const first = { quantity: doubt.quantity, value: doubt.value };
  return [finding("readings-disagree", "note", OWN_CHOICE, first), ...later];
}
