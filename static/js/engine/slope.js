// The robust slope of a series, with its interval. Twin of fieldlog/engine/trend/slope.py, where the reasons stand.

/**
 * @typedef {object} Reading
 * @property {number} day counted from any fixed day
 * @property {number} value
 * @property {number} uncertainty its half width, above 0
 */

const DAYS_PER_YEAR = 365.25;
const NORMAL_95 = 1.959963984540054;

/** The middle of numbers. @param {number[]} numbers */
export function median(numbers) {
  const ordered = [...numbers].sort((a, b) => a - b);
  const half = Math.floor(ordered.length / 2);
  const upper = /** @type {number} */ (ordered[half]); // there is at least one
  return ordered.length % 2 ? upper : /** @type {number} */ (ordered[half - 1] + upper) / 2;
}

/** The slope a year of readings in the order of their days, or null. @param {Reading[]} readings */
export function slopeOf(readings) {
  const slopes = pairSlopes(readings).sort((a, b) => a - b);
  if (!slopes.length) return null;
  const reach = NORMAL_95 * Math.sqrt(variance(readings));
  const last = slopes.length - 1;
  const high = nearest((slopes.length + reach) / 2);
  const low = nearest((slopes.length - reach) / 2) - 1;
  /** @param {number} rank */
  const at = (rank) => /** @type {number} */ (slopes[rank]) * DAYS_PER_YEAR;
  return {
    perYear: median(slopes) * DAYS_PER_YEAR,
    low: at(low > 0 ? low : 0),
    high: at(high < last ? high : last),
  };
}

/** @param {Reading[]} readings */
const pairSlopes = (readings) =>
  readings.flatMap((earlier, i) =>
    readings
      .slice(i + 1)
      .filter(({ day }) => day !== earlier.day)
      .map((later) => (later.value - earlier.value) / (later.day - earlier.day)),
  );

/** Of Kendall's statistic, with its correction for ties. @param {Reading[]} readings */
function variance(readings) {
  let spread = weight(readings.length);
  for (const ties of [...counts(readings.map(({ day }) => day)), ...counts(readings.map(({ value }) => value))])
    spread -= weight(ties);
  return spread > 0 ? spread / 18 : 0;
}

/** @param {number} count */
const weight = (count) => count * (count - 1) * (2 * count + 5);

/** @param {number[]} numbers */
function counts(numbers) {
  /** @type {Map<number, number>} */
  const found = new Map();
  for (const number of numbers) found.set(number, (found.get(number) ?? 0) + 1);
  return found.values();
}

/** The nearest whole number, the even one of two. @param {number} number */
function nearest(number) {
  const below = Math.floor(number);
  const rest = number - below;
  if (rest !== 0.5) return rest > 0.5 ? below + 1 : below;
  return below % 2 === 0 ? below : below + 1;
}
