// How much is left in a battery while loads run for their hours. The twin of fieldlog/engine/planning/charge.py.

/** @import { Battery } from "./plan.js" */

/**
 * @typedef {{watts: number, hours: number, is_direct: boolean}} Run a load from the beginning of an evening on
 * @typedef {{points: [number, number][], empty_at: number|null}} Charge hours and what is left of the usable energy
 *   then [Wh]; when nothing is left [h]
 */

/**
 * What is left in a battery, full at the beginning, while loads run that all begin together.
 * @param {Battery} battery
 * @param {Run[]} runs
 * @returns {Charge}
 */
export function charge(battery, runs) {
  let left = battery.watt_hours * battery.usable;
  let before = 0;
  /** @type {[number, number][]} */
  const points = [[0, left]];
  const hours = [...new Set(runs.map((run) => run.hours))].sort((one, other) => one - other);
  for (const hour of hours) {
    const taken = wattsOf(
      battery,
      runs.filter((run) => run.hours >= hour),
    );
    const after = left - taken * (hour - before);
    if (after < 0) {
      const empty = before + left / taken;
      return { points: [...points, [empty, 0]], empty_at: empty };
    }
    points.push([hour, after]);
    left = after;
    before = hour;
  }
  return { points, empty_at: null };
}

/** @param {Battery} battery @param {Run[]} runs */
function wattsOf({ efficiency, idle_watts }, runs) {
  let onInverter = 0;
  let direct = 0;
  for (const { watts, is_direct } of runs) {
    if (is_direct) direct += watts;
    else onInverter += watts;
  }
  const isInverterOn = runs.some(({ is_direct }) => !is_direct);
  return (isInverterOn ? onInverter / efficiency + idle_watts : 0) + direct;
}
