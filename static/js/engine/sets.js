// Which sets of readings a check holds. Twin of live_sets and is_read in the Python model and engine.

/** @import { Check, LoadedSet } from "./check.js" */

/**
 * Give the sets that were read with the breaker on.
 * @param {Check} check
 */
export const liveSets = (check) => check.sets.filter(({ state }) => state !== "breaker-off");

/**
 * Give those of them that were read with a load on as well.
 * @param {Check} check
 */
export const loadedSets = (check) =>
  liveSets(check).filter(/** @returns {one is LoadedSet} */ (one) => one.loaded !== null);

/**
 * Tell whether anything was read by meter or lamp with the breaker on.
 * @param {Check} check
 */
export function isRead(check) {
  return liveSets(check).some((one) =>
    [one.volts, one.lamps, one.loaded?.volts ?? {}].some((read) => Object.keys(read).length > 0),
  );
}
