// How well each wiring fits the readings. Twin of fieldlog/engine/likelihood.py, where the reasons stand;
// the same arithmetic in the same order, with + - * /, comparison and square root only.

import { withoutLoad } from "./sets.js";

/** @import { Meter, ReadingSet, Volts } from "./check.js" */
/** @import { LoadSet, MeterSet } from "./points.js" */
/** @import { LampSet } from "../../../schemas/shapes/rulebook.d.ts" */

/**
 * @typedef {ReturnType<typeof kernelOfLimits>} Kernel
 * @typedef {{mean: number, best: number}} Fit the mean density over the points, and the best kernel
 * @typedef {ReturnType<typeof meterReadings>} Readings of a meter, by pair: place in the family, volts, standard error
 * @typedef {{pair: number, volts: number, error: number}} LoadedVolts
 * @typedef {LoadedVolts & {dropped: number, droppedError: number}} LoadDrop read with the load and without
 * @typedef {LoadDrop|LoadedVolts & {dropped: null, droppedError: null}} LoadReading
 * @typedef {{low: number, high: number, weight: number, middle: number}} Ohms of the loop, as they are known
 * @typedef {{pair: number, isFall: boolean, value: number, variance: number}} Term what a reading says at every point
 * @typedef {ReturnType<typeof emptyEquations>} Equations of one point
 */

const RATIO_UNIT = 0.001;
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
 * Give a meter's readings in the family's order of pairs. Arrays of one kind of number, whatever was read, so that
 * what goes through the points is compiled once.
 * @param {ReadingSet} one
 * @param {string[]} pairs
 * @param {Kernel} kernel
 */
export function meterReadings({ volts, meter }, pairs, kernel) {
  const places = pairs.map((_, place) => place).filter((place) => Object.hasOwn(volts, pairs[place]));
  const values = places.map((place) => volts[pairs[place]]);
  return {
    pairs: Int32Array.from(places),
    volts: Float64Array.from(values),
    errors: Float64Array.from(values, (value) => readingError(value, meter, kernel)),
  };
}

/**
 * Give how well readings fit the wirings that share one set of points: the mean density, and the best kernel.
 * Nothing is made anew for a point: there are thousands of them in a check, and a phone is slow.
 * @param {MeterSet} meterSet
 * @param {Readings} readings
 * @param {Kernel} kernel
 * @returns {Fit}
 */
export function voltsFit(meterSet, { pairs, volts, errors }, kernel) {
  const { width, count } = meterSet;
  const ratios = meterSet.ratios();
  const weights = errors.map((error, i) => weightOf(error, meterSet.spreads[pairs[i]], kernel));
  let total = 0;
  let best = 0;
  for (let row = 0; row < count * width; row += width) {
    let above = kernel.supplyVolts * kernel.supplyWeight;
    let below = kernel.supplyWeight;
    for (let i = 0; i < pairs.length; i += 1) {
      const ratio = ratios[row + pairs[i]];
      above = above + volts[i] * ratio * weights[i];
      below = below + ratio * ratio * weights[i];
    }
    const supply = above / below;
    let chi = strayOfSupply(supply, kernel);
    for (let i = 0; i < pairs.length; i += 1) {
      const rest = volts[i] - supply * ratios[row + pairs[i]];
      chi = chi + rest * rest * weights[i];
    }
    const height = fall(chi);
    total = total + Math.sqrt(kernel.supplyWeight / below) * height;
    if (height > best) best = height;
  }
  let scale = 1;
  for (const weight of weights) scale = scale * weight;
  return { mean: (total / count) * Math.sqrt(scale), best };
}

/** @param {number} error [V] @param {number} ofRatio spread of a pair's ratios @param {Kernel} kernel */
function weightOf(error, ofRatio, kernel) {
  const spread = ofRatio * RATIO_UNIT * kernel.spreadVolts;
  return 1 / (error * error + spread * spread);
}

/** Give what a supply adds to chi squared by itself. @param {number} supply @param {Kernel} kernel */
function strayOfSupply(supply, kernel) {
  const miss = supply - kernel.supplyVolts;
  const past = beyond(supply, kernel.lowVolts, kernel.highVolts, kernel.edgeVolts);
  return miss * miss * kernel.supplyWeight + past * past;
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
  const blur = kernel.shareSpread * (drop === null ? 0 : drop);
  const terms = readings.map((reading) => termOf(reading, loadSet, blur, kernel));
  const ways = valuesByWay(terms, readings, neutral);
  const totals = ways.map(() => 0);
  const known = knownOhms(loadSet, kernel);
  const equations = emptyEquations(terms.length);
  let best = 0;
  for (let point = 0; point < loadSet.count; point += 1) {
    layPoint(equations, loadSet, point, terms, { amps, known, kernel });
    for (let way = 0; way < ways.length; way += 1) {
      const height = heightOf(equations, ways[way], known, kernel);
      totals[way] = totals[way] + equations.width * height;
      if (height > best) best = height;
    }
  }
  const [own, falling, turning] = totals.map((total) => total / loadSet.count);
  if (ways.length === 1) return { mean: own, best };
  return { mean: kernel.rising * own + kernel.falling * falling + kernel.falling * turning, best };
}

/**
 * Give what a reading says at every point of a set: of a steady pair how far it fell, of any other its level.
 * @param {LoadReading} reading
 * @param {LoadSet} loadSet
 * @param {number} blur [V]
 * @param {Kernel} kernel
 * @returns {Term}
 */
function termOf(reading, loadSet, blur, kernel) {
  const { pair, volts, error, dropped, droppedError } = reading;
  if (dropped !== null && loadSet.steady[pair]) {
    return { pair, isFall: true, value: dropped, variance: droppedError * droppedError + blur * blur };
  }
  const spread = loadSet.ratio_spreads[pair] * RATIO_UNIT * kernel.spreadVolts;
  return { pair, isFall: false, value: volts, variance: error * error + spread * spread };
}

/**
 * Give the terms' values [V] as the neutral rises under the load, falls, and turns; once where its fall is not known.
 * @param {Term[]} terms
 * @param {LoadReading[]} readings
 * @param {number} neutral
 */
function valuesByWay(terms, readings, neutral) {
  const own = Float64Array.from(terms, ({ value }) => value);
  const place = readings.findIndex((one) => one.pair === neutral && one.dropped !== null);
  if (place < 0) return [own];
  const { dropped, volts } = /** @type {LoadDrop} */ (readings[place]); // as it was found
  return [dropped, -dropped, -(dropped + 2 * volts)].map((moved) =>
    own.map((value, i) => (i === place && terms[i].isFall ? moved : value)),
  );
}

/** @param {LoadSet} loadSet @param {Kernel} kernel @returns {Ohms} */
function knownOhms({ ohms }, kernel) {
  const low = ohms[0] * OHM_UNIT;
  const high = ohms[1] * OHM_UNIT;
  let half = (high - low) / 2;
  if (half < kernel.edgeOhms) half = kernel.edgeOhms;
  return { low, high, weight: 1 / (half * half), middle: (low + high) / 2 };
}

/** Make room for the equations of a point; those of every point are laid there. @param {number} count of terms */
const emptyEquations = (count) => ({
  ratios: new Float64Array(count),
  steps: new Float64Array(count),
  weights: new Float64Array(count),
  first: 0,
  cross: 0,
  second: 0,
  found: 0,
  width: 0,
});

/**
 * Lay the equations of a point: what multiplies the supply, what multiplies the ohms, the weights and their sums.
 * @param {Equations} equations written here
 * @param {LoadSet} loadSet
 * @param {number} point
 * @param {Term[]} terms
 * @param {{amps: number, known: Ohms, kernel: Kernel}} given
 */
function layPoint(equations, loadSet, point, terms, { amps, known, kernel }) {
  const ratios = loadSet.ratios();
  const shares = loadSet.shares();
  let first = kernel.supplyWeight;
  let cross = 0;
  let second = known.weight;
  let scale = kernel.supplyWeight * known.weight;
  for (let i = 0; i < terms.length; i += 1) {
    const { pair, isFall, variance } = terms[i];
    const at = point * loadSet.width + pair;
    const wobble = kernel.wobbleVolts * ratios[at];
    const ratio = isFall ? 0 : ratios[at];
    const steps = isFall ? amps * shares[at] : 0 - amps * shares[at];
    const weight = 1 / (isFall ? variance + wobble * wobble : variance);
    equations.ratios[i] = ratio;
    equations.steps[i] = steps;
    equations.weights[i] = weight;
    first = first + ratio * ratio * weight;
    cross = cross + ratio * steps * weight;
    second = second + steps * steps * weight;
    scale = scale * weight;
  }
  const found = first * second - cross * cross;
  equations.first = first;
  equations.cross = cross;
  equations.second = second;
  equations.found = found;
  equations.width = Math.sqrt(scale / found);
}

/**
 * Solve a point's equations for supply and ohms, and give the kernel's height.
 * @param {Equations} equations
 * @param {Float64Array} values of the terms
 * @param {Ohms} known
 * @param {Kernel} kernel
 */
function heightOf({ ratios, steps, weights, first, cross, second, found }, values, known, kernel) {
  let rightFirst = kernel.supplyVolts * kernel.supplyWeight;
  let rightSecond = known.middle * known.weight;
  for (let i = 0; i < values.length; i += 1) {
    rightFirst = rightFirst + ratios[i] * values[i] * weights[i];
    rightSecond = rightSecond + steps[i] * values[i] * weights[i];
  }
  const supply = (rightFirst * second - rightSecond * cross) / found;
  const ohms = (rightSecond * first - rightFirst * cross) / found;
  const stray = ohms - known.middle;
  const outside = beyond(ohms, known.low, known.high, kernel.edgeOhms);
  let chi = strayOfSupply(supply, kernel) + (stray * stray * known.weight + outside * outside);
  for (let i = 0; i < values.length; i += 1) {
    const rest = values[i] - supply * ratios[i] - ohms * steps[i];
    chi = chi + rest * rest * weights[i];
  }
  return fall(chi);
}
