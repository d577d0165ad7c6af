// How well each wiring fits the readings. Twin of fieldlog/engine/likelihood.py, where the reasons stand;
// the same arithmetic in the same order, with + - * /, comparison and square root only.

import { withoutLoad } from "./sets.js";

/** @import { Meter, ReadingSet, Volts } from "./check.js" */
/** @import { LampSet, LoadSet } from "../../../schemas/shapes/rulebook.d.ts" */

/**
 * @typedef {ReturnType<typeof kernelOfLimits>} Kernel
 * @typedef {{mean: number, best: number}} Fit the mean density over the points, and the best kernel
 * @typedef {[number, number, number]} Place a pair's index and two numbers about it
 * @typedef {{pair: number, volts: number, error: number}} UnderLoad
 * @typedef {UnderLoad & {dropped: number, droppedError: number}} Dropped read with the load and without
 * @typedef {Dropped|UnderLoad & {dropped: null, droppedError: null}} LoadReading
 * @typedef {{low: number, high: number, weight: number, middle: number}} Ohms of the loop, as they are known
 */

const RATIO_UNIT = 0.001;
const SHARE_UNIT = 0.01;
const OHM_UNIT = 0.001;
const SQUARE_ROOT_OF_2 = Math.sqrt(2);

/**
 * Give the kernel's constants from limits by id.
 * @param {(name: string) => number} limit
 */
export function kernelOfLimits(limit) {
  return {
    supplyVolts: limit("supply-middle"),
    supplyWeight: 1 / (limit("supply-spread") * limit("supply-spread")),
    lowVolts: limit("supply-low"),
    highVolts: limit("supply-high"),
    edgeVolts: limit("supply-edge"),
    spreadVolts: limit("ratio-volts"),
    errorShare: limit("error-share"),
    floorVolts: limit("error-floor"),
    wobbleVolts: limit("supply-wobble"),
    shareSpread: limit("share-spread"),
    edgeOhms: limit("ohms-edge"),
    leastShare: limit("neutral-least-share"),
    tellsAt: limit("rise-tells-at"),
    rising: limit("neutral-rises"),
    falling: limit("neutral-falls"),
  };
}

/**
 * Give the standard error [V] of a reading [V] of a meter with this accuracy.
 * @param {number} volts
 * @param {Meter} meter
 * @param {Kernel} kernel
 */
export function readingError(volts, meter, kernel) {
  const error = kernel.errorShare * ((volts * meter.accuracyPercent) / 100 + meter.accuracyVolts);
  return error > kernel.floorVolts ? error : kernel.floorVolts;
}

/**
 * Give the standard error [V] of a change between two readings of one meter.
 * @param {number} change
 * @param {Meter} meter
 * @param {Kernel} kernel
 */
export function changeError(change, meter, kernel) {
  const size = change >= 0 ? change : -change;
  const digits = SQUARE_ROOT_OF_2 * meter.accuracyVolts;
  const error = kernel.errorShare * ((size * meter.accuracyPercent) / 100 + digits);
  return error > kernel.floorVolts ? error : kernel.floorVolts;
}

/**
 * Give how well readings fit the wirings that share one set of points: the mean density, and the best kernel.
 * @param {{spreads: number[], points: number[][]}} meterSet
 * @param {Place[]} readings pair index, volts, standard error
 * @param {Kernel} kernel
 * @returns {Fit}
 */
export function voltsFit(meterSet, readings, kernel) {
  const weights = readings.map(([pair, , error]) => {
    const spread = meterSet.spreads[pair] * RATIO_UNIT * kernel.spreadVolts;
    return 1 / (error * error + spread * spread);
  });
  let scale = 1;
  for (const weight of weights) scale = scale * weight;
  const pairs = readings.map(([pair]) => pair);
  const volts = readings.map(([, value]) => value);
  const found = { width: 0, height: 0 };
  let total = 0;
  let best = 0;
  for (const point of meterSet.points) {
    fitPoint(point, pairs, volts, weights, kernel, found);
    total = total + found.width * found.height;
    if (found.height > best) best = found.height;
  }
  return { mean: (total / meterSet.points.length) * Math.sqrt(scale), best };
}

/**
 * Nothing is made anew for a point: there are thousands of them in a check, and a phone is slow.
 * @param {number[]} point
 * @param {number[]} pairs their places in the point
 * @param {number[]} volts
 * @param {number[]} weights
 * @param {Kernel} kernel
 * @param {{width: number, height: number}} found of the kernel, written here
 */
function fitPoint(point, pairs, volts, weights, kernel, found) {
  let above = kernel.supplyVolts * kernel.supplyWeight;
  let below = kernel.supplyWeight;
  for (let i = 0; i < pairs.length; i += 1) {
    const ratio = point[pairs[i]] * RATIO_UNIT;
    above = above + volts[i] * ratio * weights[i];
    below = below + ratio * ratio * weights[i];
  }
  const supply = above / below;
  const miss = supply - kernel.supplyVolts;
  const past = beyond(supply, kernel.lowVolts, kernel.highVolts, kernel.edgeVolts);
  let chi = miss * miss * kernel.supplyWeight + past * past;
  for (let i = 0; i < pairs.length; i += 1) {
    const rest = volts[i] - supply * (point[pairs[i]] * RATIO_UNIT);
    chi = chi + rest * rest * weights[i];
  }
  found.width = Math.sqrt(kernel.supplyWeight / below);
  found.height = fall(chi);
}

/** @param {number} value @param {number} low @param {number} high @param {number} edge */
function beyond(value, low, high, edge) {
  if (value < low) return (low - value) / edge;
  return value > high ? (value - high) / edge : 0;
}

/** @param {number} chi */
function fall(chi) {
  const base = 1 + chi / 4;
  const square = base * base;
  return 1 / (square * square);
}

/**
 * Give the probability of what lamps showed under one set of patterns.
 * @param {LampSet} lampSet
 * @param {[number, number][]} looked place of a lamp, noted state
 * @param {number[][]} misread
 */
export function lampsLikelihood(lampSet, looked, misread) {
  let total = 0;
  for (const [pattern, millionths] of lampSet.patterns) {
    let chance = millionths;
    for (const [place, state] of looked) chance = chance * misread[Number(pattern[place])][state];
    total = total + chance;
  }
  return total / 1000000;
}

/**
 * Set loaded readings beside the unloaded ones of the same pairs.
 * @param {ReadingSet} one
 * @param {Volts} loaded those of it that were read under load
 * @param {string[]} pairs
 * @param {Kernel} kernel
 * @returns {LoadReading[]}
 */
export function loadReadings(one, loaded, pairs, kernel) {
  /** @type {LoadReading[]} */
  const found = [];
  pairs.forEach((pair, place) => {
    if (!Object.hasOwn(loaded, pair)) return;
    const volts = loaded[pair];
    const bare = withoutLoad(one, pair);
    const dropped = bare === null ? null : bare - volts;
    const droppedError = dropped === null ? null : changeError(dropped, one.meter, kernel);
    const read = { pair: place, volts, error: readingError(volts, one.meter, kernel), dropped, droppedError };
    found.push(/** @type {LoadReading} */ (read)); // both null, or neither
  });
  return found;
}

/**
 * Give how far the loaded pair fell [V], or null where it was not read both ways.
 * @param {ReadingSet} one
 * @returns {number|null}
 */
export function measuredDrop(one) {
  if (one.loaded === null) return null;
  const { across, volts } = one.loaded;
  const bare = withoutLoad(one, across);
  return bare === null || !Object.hasOwn(volts, across) ? null : bare - volts[across];
}

/**
 * Give the least drop [V] under which a sound neutral's rise stands clear of the meter's digits.
 * @param {Meter} meter
 * @param {Kernel} kernel
 */
export function leastTellingDrop(meter, kernel) {
  return (kernel.tellsAt * changeError(0, meter, kernel)) / kernel.leastShare;
}

/**
 * Give how well readings under load fit one set of points, whichever way the neutral moves.
 * @param {LoadSet} loadSet
 * @param {LoadReading[]} readings
 * @param {number} neutral place of the pair from neutral to ground
 * @param {number} amps
 * @param {number|null} drop
 * @param {Kernel} kernel
 * @returns {Fit}
 */
export function loadFits(loadSet, readings, neutral, amps, drop, kernel) {
  const own = oneSign(loadSet, readings, amps, drop, kernel);
  if (!readings.some(({ pair, dropped }) => pair === neutral && dropped !== null)) return own;
  const ways = [
    (/** @type {Dropped} */ one) => -one.dropped,
    (/** @type {Dropped} */ one) => -(one.dropped + 2 * one.volts),
  ];
  const [falling, turning] = ways.map((dropOf) =>
    oneSign(
      loadSet,
      readings.map((one) => eachWay(one, neutral, dropOf)),
      amps,
      drop,
      kernel,
    ),
  );
  return {
    mean: kernel.rising * own.mean + kernel.falling * falling.mean + kernel.falling * turning.mean,
    best: Math.max(own.best, falling.best, turning.best),
  };
}

/**
 * @param {LoadReading} reading
 * @param {number} neutral
 * @param {(reading: Dropped) => number} dropOf
 * @returns {LoadReading}
 */
function eachWay(reading, neutral, dropOf) {
  if (reading.pair !== neutral || reading.dropped === null) return reading;
  return { ...reading, dropped: dropOf(reading) };
}

/**
 * @param {LoadSet} loadSet
 * @param {LoadReading[]} readings
 * @param {number} amps
 * @param {number|null} drop
 * @param {Kernel} kernel
 * @returns {Fit}
 */
function oneSign(loadSet, readings, amps, drop, kernel) {
  const low = loadSet.ohms[0] * OHM_UNIT;
  const high = loadSet.ohms[1] * OHM_UNIT;
  let half = (high - low) / 2;
  if (half < kernel.edgeOhms) half = kernel.edgeOhms;
  const known = { low, high, weight: 1 / (half * half), middle: (low + high) / 2 };
  const blur = kernel.shareSpread * (drop === null ? 0 : drop);
  let total = 0;
  let best = 0;
  for (let point = 0; point < loadSet.count; point += 1) {
    const [width, own] = loadHeight(loadSet, point, readings, { amps, blur, known, kernel });
    total = total + width * own;
    if (own > best) best = own;
  }
  return { mean: total / loadSet.count, best };
}

/**
 * @param {LoadSet} loadSet
 * @param {number} point
 * @param {LoadReading[]} readings
 * @param {{amps: number, blur: number, known: Ohms, kernel: Kernel}} given
 * @returns {[number, number]} the kernel's width and height
 */
function loadHeight(loadSet, point, readings, { amps, blur, known, kernel }) {
  let first = kernel.supplyWeight;
  let cross = 0;
  let second = known.weight;
  let rightFirst = kernel.supplyVolts * kernel.supplyWeight;
  let rightSecond = known.middle * known.weight;
  let scale = kernel.supplyWeight * known.weight;
  const terms = readings.map((reading) => loadTerm(loadSet, point, reading, amps, blur, kernel));
  for (const [ratio, steps, value, weight] of terms) {
    first = first + ratio * ratio * weight;
    cross = cross + ratio * steps * weight;
    second = second + steps * steps * weight;
    rightFirst = rightFirst + ratio * value * weight;
    rightSecond = rightSecond + steps * value * weight;
    scale = scale * weight;
  }
  const found = first * second - cross * cross;
  const supply = (rightFirst * second - rightSecond * cross) / found;
  const ohms = (rightSecond * first - rightFirst * cross) / found;
  const miss = supply - kernel.supplyVolts;
  const past = beyond(supply, kernel.lowVolts, kernel.highVolts, kernel.edgeVolts);
  const stray = ohms - known.middle;
  const outside = beyond(ohms, known.low, known.high, kernel.edgeOhms);
  let chi = miss * miss * kernel.supplyWeight + past * past;
  chi = chi + (stray * stray * known.weight + outside * outside);
  for (const [ratio, steps, value, weight] of terms) {
    const rest = value - supply * ratio - ohms * steps;
    chi = chi + rest * rest * weight;
  }
  return [Math.sqrt(scale / found), fall(chi)];
}

/**
 * Give what multiplies the supply, what multiplies the ohms, the observed value and its weight.
 * @param {LoadSet} loadSet
 * @param {number} point
 * @param {LoadReading} reading
 * @param {number} amps
 * @param {number} blur
 * @param {Kernel} kernel
 * @returns {[number, number, number, number]}
 */
function loadTerm(loadSet, point, reading, amps, blur, kernel) {
  const { pair } = reading;
  const ratio = loadSet.ratios[pair][point] * RATIO_UNIT;
  const steps = amps * (loadSet.shares[pair][point] * SHARE_UNIT);
  if (reading.dropped !== null && loadSet.steady[pair]) {
    const wobble = kernel.wobbleVolts * ratio;
    const own = reading.droppedError * reading.droppedError + blur * blur;
    return [0, steps, reading.dropped, 1 / (own + wobble * wobble)];
  }
  const spread = loadSet.ratio_spreads[pair] * RATIO_UNIT * kernel.spreadVolts;
  return [ratio, 0 - steps, reading.volts, 1 / (reading.error * reading.error + spread * spread)];
}
