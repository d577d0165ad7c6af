// Whether a series stands, has stepped, or drifts. Twin of fieldlog/engine/trend, to the last bit; what is typed in
// was checked before.
import { alarmStart } from "./alarm.js";
import { departure } from "./departure.js";
import { median, slopeOf } from "./slope.js";

/** @import { Reading } from "./slope.js" */

/**
 * @typedef {object} Series what fieldlog trend takes
 * @property {"loop-ohms"|"neutral-ohms"|"volts"|"trip-ms"} quantity
 * @property {{at: string, value: number, uncertainty: number}[]} readings
 * @property {string[]} [changes] days on which the wiring, the meter or the load changed
 *
 * @typedef {object} Trend
 * @property {"too-few"|"steady"|"stepped"|"drifting"} state
 * @property {number} count
 * @property {number|null} baseline
 * @property {number|null} slope_per_year
 * @property {number|null} slope_low
 * @property {number|null} slope_high
 * @property {string|null} since
 */

const LEAST = 4;
const MS_PER_DAY = 86_400_000;
const ROOT_3 = Math.sqrt(3);

/** Say what has drifted. @param {Series} series @returns {Trend} */
export function trend({ readings: given, changes = [] }) {
  const last = changes.reduce((newest, day) => Math.max(newest, dayNumber(day)), -Infinity);
  const readings = given
    .map(({ at, value, uncertainty }) => ({ at, day: dayNumber(at), value, uncertainty }))
    .sort((a, b) => a.day - b.day)
    .filter(({ day }) => day >= last);
  if (readings.length < LEAST || new Set(readings.map(({ day }) => day)).size < 2) return answer("too-few", readings);
  const baseline = baselineOf(readings);
  const start = alarmStart(readings.map(({ value, uncertainty }) => (value - baseline) / (uncertainty / ROOT_3)));
  if (start === null) return answer("steady", readings);
  const off = departure(readings, baseline, start);
  return answer(off.state, readings, readings[off.first]?.at);
}

/** A day as a count of days. @param {string} day such as "2026-01-05" */
export const dayNumber = (day) => Math.floor(Date.parse(`${day}T00:00:00Z`) / MS_PER_DAY);

/** @param {Reading[]} readings */
function baselineOf(readings) {
  const half = Math.floor(readings.length / 2);
  return median(readings.slice(0, half > LEAST ? half : LEAST).map(({ value }) => value));
}

/** @param {Trend["state"]} state @param {Reading[]} readings @param {string|null} [since] @returns {Trend} */
function answer(state, readings, since = null) {
  const slope = state === "too-few" ? null : slopeOf(readings);
  return {
    state,
    count: readings.length,
    baseline: readings.length ? baselineOf(readings) : null,
    slope_per_year: slope?.perYear ?? null,
    slope_low: slope?.low ?? null,
    slope_high: slope?.high ?? null,
    since,
  };
}
