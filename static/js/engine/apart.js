// What two readings tell of each other. Twin of fieldlog/engine/trend/apart.py, where the reasons stand.

/** @import { Reading } from "./slope.js" */

/**
 * Whether two readings differ by more than both may be off by together.
 * @param {Reading} now
 * @param {Reading} before
 */
export function isApart(now, before) {
  const apart = now.value - before.value;
  return (apart >= 0 ? apart : -apart) > now.uncertainty + before.uncertainty;
}

/**
 * The ohms between a pedestal and an outlet of the rig, both read in one visit.
 * @param {Reading} atOutlet
 * @param {Reading} atPedestal
 * @returns {Reading}
 */
export const rigPart = (atOutlet, atPedestal) => ({
  day: atOutlet.day,
  value: atOutlet.value - atPedestal.value,
  uncertainty: atOutlet.uncertainty + atPedestal.uncertainty,
});
