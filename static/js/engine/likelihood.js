// How well each wiring fits the readings. Twin of fieldlog/engine/likelihood.py, where the reasons stand;
// the same arithmetic in the same order, with + - * /, comparison and square root only.

const RATIO_UNIT = 0.001;
const SUPPLY_VOLTS = 117;
const SUPPLY_WEIGHT = 1 / 900;
const SUPPLY_LOW_VOLTS = 92;
const SUPPLY_HIGH_VOLTS = 142;
const SUPPLY_EDGE_VOLTS = 4;
const SPREAD_VOLTS = 120;
const ERROR_SHARE = 0.6;
const FLOOR_VOLTS = 0.1;
const LAMP_PLACES = [9, 3, 1];

/** Give the standard error of a reading [V] of a meter with this accuracy [% of reading, V]. */
export function readingError(volts, percent, countsVolts) {
  const error = ERROR_SHARE * ((volts * percent) / 100 + countsVolts);
  return error > FLOOR_VOLTS ? error : FLOOR_VOLTS;
}

/**
 * Give the likelihood density of readings under the wirings that share one set of points.
 * @param {{spreads: number[], points: number[][]}} meterSet
 * @param {[number, number, number][]} readings pair index, volts, standard error
 */
export function voltsLikelihood(meterSet, readings) {
  const weighted = [];
  let scale = 1;
  for (const [pair, volts, error] of readings) {
    const spread = meterSet.spreads[pair] * RATIO_UNIT * SPREAD_VOLTS;
    const weight = 1 / (error * error + spread * spread);
    weighted.push([pair, volts, weight]);
    scale = scale * weight;
  }
  let total = 0;
  for (const point of meterSet.points) total = total + kernel(point, weighted);
  return (total / meterSet.points.length) * Math.sqrt(scale);
}

function kernel(point, weighted) {
  let above = SUPPLY_VOLTS * SUPPLY_WEIGHT;
  let below = SUPPLY_WEIGHT;
  for (const [pair, volts, weight] of weighted) {
    const ratio = point[pair] * RATIO_UNIT;
    above = above + volts * ratio * weight;
    below = below + ratio * ratio * weight;
  }
  const supply = above / below;
  const miss = supply - SUPPLY_VOLTS;
  const past = beyond(supply);
  let chi = miss * miss * SUPPLY_WEIGHT + past * past;
  for (const [pair, volts, weight] of weighted) {
    const rest = volts - supply * (point[pair] * RATIO_UNIT);
    chi = chi + rest * rest * weight;
  }
  const base = 1 + chi / 4;
  const square = base * base;
  return Math.sqrt(SUPPLY_WEIGHT / below) / (square * square);
}

function beyond(supply) {
  if (supply < SUPPLY_LOW_VOLTS) return (SUPPLY_LOW_VOLTS - supply) / SUPPLY_EDGE_VOLTS;
  return supply > SUPPLY_HIGH_VOLTS ? (supply - SUPPLY_HIGH_VOLTS) / SUPPLY_EDGE_VOLTS : 0;
}

/**
 * Give the probability of what the three lamps showed; null stands for a lamp that was not looked at.
 * @param {{table: number[]}} lampSet
 * @param {(string|null)[]} seen
 */
export function lampsLikelihood(lampSet, seen) {
  let total = 0;
  for (let index = 0; index < 27; index += 1) {
    if (seen.every((state, lamp) => shows(index, lamp, state))) total += lampSet.table[index];
  }
  return total / 1000000;
}

function shows(index, lamp, state) {
  return state === null || ["lit", "dim", "dark"][Math.floor(index / LAMP_PLACES[lamp]) % 3] === state;
}
