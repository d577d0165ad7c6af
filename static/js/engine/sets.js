// Which sets of readings a check holds. Twin of live_sets and is_read in the Python model and engine.

/** @import { Check } from "./check.js" */

/**
 * Give the sets that were read with the breaker on.
 * @param {Check} check
 */
export const liveSets = (check) => check.sets.filter(({ state }) => state !== "breaker-off");

/**
 * Tell whether anything was read by meter or lamp with the breaker on.
 * @param {Check} check
 */
export function isRead(check) {
  return liveSets(check).some((one) =>
    [one.volts, one.lamps, one.loaded?.volts ?? {}].some((read) => Object.keys(read).length > 0),
  );
}
