// In which mode a trip was made, where it does not say. The twin of modes_of_trips in
// fieldlog/engine/protection/contradictions.py.
import { protect } from "./protect.js";

/** @import { RigMap, Trip } from "./protect.js" */

/**
 * Gives the modes in which a part has power by the map, in their order.
 * @param {RigMap} map
 * @param {string} id of the part
 * @returns {string[]}
 */
export const modesWithPower = (map, id) =>
  Object.entries(protect(map)).flatMap(([mode, { fed }]) => (fed.has(id) ? [mode] : []));

/**
 * Gives a trip with its mode: the one that it names, else of those in which its device has power the first that it
 * contradicts least; the first mode for a device that never has power.
 * @param {RigMap} map
 * @param {Trip} trip
 * @returns {Trip}
 */
export function inItsMode(map, trip) {
  const modes = Object.keys(map.modes ?? {});
  if (typeof trip.mode === "string" || !modes.length) return trip;
  const powered = modesWithPower(map, trip.device);
  const tried = (powered.length ? powered : modes.slice(0, 1)).map((mode) => ({ ...trip, mode }));
  const wrong = tried.map((each) => protect(map, [each])[each.mode].contradictions.length);
  return tried[wrong.indexOf(Math.min(...wrong))];
}
