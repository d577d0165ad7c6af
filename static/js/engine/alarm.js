// The cumulative-sum alarm. Twin of fieldlog/engine/trend/alarm.py, where the reasons stand.

const ALLOWANCE = 1.1;
const DECISION = 4;
const LARGEST = 4;
const MOST = 2 * DECISION;

/**
 * Both cumulative sums after each deviation from the baseline.
 * @param {number[]} deviations
 * @param {number} allowance
 * @param {number} [most]
 */
export function cumulativeSums(deviations, allowance, most = Infinity) {
  let high = 0;
  let low = 0;
  return deviations.map((deviation) => {
    high = within(high + deviation - allowance, most);
    low = within(low - deviation - allowance, most);
    return { high, low };
  });
}

/** Where the departure began that stands at the last deviation, or null. @param {number[]} deviations */
export function alarmStart(deviations) {
  const sums = cumulativeSums(deviations.map(held), ALLOWANCE, MOST);
  const end = sums.at(-1);
  if (!end) return null;
  const isHigh = end.high > end.low;
  const side = sums.map(({ high, low }) => (isHigh ? high : low));
  let start = side.length - 1;
  if (/** @type {number} */ (side[start]) <= DECISION) return null;
  while (start > 0 && /** @type {number} */ (side[start - 1]) > 0) start -= 1;
  return start;
}

/** @param {number} number @param {number} most */
function within(number, most) {
  if (number <= 0) return 0;
  return number > most ? most : number;
}

/** One odd reading alone raises no alarm. @param {number} deviation */
function held(deviation) {
  if (deviation > LARGEST) return LARGEST;
  return deviation < -LARGEST ? -LARGEST : deviation;
}
