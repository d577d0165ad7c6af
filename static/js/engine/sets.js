// Which sets of readings a check holds. Twin of live_sets and is_read in the Python model and engine.

/** @import { Check, ReadingSet } from "./check.js" */

/**
 * Give the sets that were read with the breaker on.
 * @param {Check} check
 */
export const liveSets = (check) => check.sets.filter(({ state }) => state !== "breaker-off");

/**
 * Give a pair's volts without the load: the mean of before and after where both were read, null where neither was.
 * @param {ReadingSet} one
 * @param {string} pair
 */
export function withoutLoad({ volts, loaded }, pair) {
  const before = Object.hasOwn(volts, pair) ? volts[pair] : null;
  const after = loaded !== null && Object.hasOwn(loaded.after, pair) ? loaded.after[pair] : null;
  if (before === null || after === null) return before === null ? after : before;
  return (before + after) / 2;
}

/**
 * Tell whether anything was read by meter or lamp with the breaker on.
 * @param {Check} check
 */
export function isRead(check) {
  return liveSets(check).some((one) =>
    [one.volts, one.lamps, one.loaded?.volts ?? {}].some((read) => Object.keys(read).length > 0),
  );
}
