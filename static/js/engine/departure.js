// Whether a series left its baseline at once or bit by bit. Twin of fieldlog/engine/trend/departure.py.
import { median } from "./slope.js";

/** @import { Reading } from "./slope.js" */

const BEFORE = 3;

/**
 * @param {Reading[]} readings
 * @param {number} baseline
 * @param {number} start where the alarm's sum began
 * @returns {{state: "stepped"|"drifting", first: number}}
 */
export function departure(readings, baseline, start) {
  const earliest = start - BEFORE > 1 ? start - BEFORE : 1;
  const latest = start > 1 ? start : 1;
  const places = Array.from({ length: latest - earliest + 1 }, (_, i) => earliest + i);
  const around = { readings, baseline, earliest };
  const step = least(places.map((at) => ({ misfit: stepMisfit(around, at), at })));
  const drift = least(places.map((at) => ({ misfit: driftMisfit(around, at), at })));
  return step.misfit <= drift.misfit ? { state: "stepped", first: step.at } : { state: "drifting", first: drift.at };
}

/** The least misfit, the latest of several. @param {{misfit: number, at: number}[]} found */
const least = (found) => found.reduce((best, one) => (one.misfit <= best.misfit ? one : best));

/** @typedef {{readings: Reading[], baseline: number, earliest: number}} Stretch */

/** @param {Stretch} around @param {number} at */
function stepMisfit(around, at) {
  const after = around.readings.slice(at);
  const level = median(after.map(({ value }) => value));
  return misfitOf(around, at, () => level);
}

/** @param {Stretch} around @param {number} at */
function driftMisfit(around, at) {
  const { readings, baseline } = around;
  const { day: knot } = /** @type {Reading} */ (readings[at - 1]);
  const slopes = readings
    .slice(at)
    .filter(({ day }) => day !== knot)
    .map(({ day, value }) => (value - baseline) / (day - knot));
  const perDay = slopes.length ? median(slopes) : 0;
  return misfitOf(around, at, ({ day }) => baseline + perDay * (day - knot));
}

/** @param {Stretch} around @param {number} at @param {(reading: Reading) => number} levelOf */
function misfitOf({ readings, baseline, earliest }, at, levelOf) {
  let misfit = 0;
  for (const one of readings.slice(earliest, at)) misfit += distance(one, baseline);
  for (const one of readings.slice(at)) misfit += distance(one, levelOf(one));
  return misfit;
}

/** @param {Reading} reading @param {number} level */
function distance({ value, uncertainty }, level) {
  const apart = value - level;
  return (apart >= 0 ? apart : -apart) / uncertainty;
}
