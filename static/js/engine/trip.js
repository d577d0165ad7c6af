// What a trip test says about a ground-fault device. Twin of fieldlog/engine/trip.py.

import { finding } from "./limits.js";

/** @import { Trip } from "./check.js" */
/** @import { Rules } from "./rulebook.js" */

const UL_943 = "UL 943, Class A: T = (20 / I)^1.43 s";
const CPSC = "common practice; CPSC staff position paper of 2001-04-20";
const OSHA = "OSHA interpretation of 2003-07-09: only the device's own TEST decides";

/**
 * Judge trip tests; what was not tested gives no finding, and no pass.
 * @param {Trip[]} trips
 * @param {Rules} rulebook
 */
export function tripFindings(trips, rulebook) {
  return trips.flatMap((trip) => oneTrip(trip, rulebook));
}

/** @param {Trip} trip @param {Rules} rulebook */
function oneTrip(trip, rulebook) {
  if (trip.by === "external" && trip.tripped === false) return [finding("trip-inconclusive", "note", OSHA)];
  const found = [];
  if (trip.tripped === false) found.push(finding("trip-failed", "stop", CPSC));
  if (trip.by === "button" && trip.device === "this" && trip.tripped && trip.faceDead === null) {
    found.push(finding("face-not-read", "note", CPSC));
  }
  if (trip.faceDead === false) found.push(finding("face-live-after-trip", "stop", CPSC));
  if (trip.reset === false) found.push(finding("reset-failed", "stop", CPSC));
  if (isSlow(trip, rulebook)) {
    found.push(finding("trip-slow", "stop", UL_943, { quantity: "milliseconds", value: trip.milliseconds }));
  }
  return found;
}

/** @param {Trip} trip @param {Rules} rulebook */
function isSlow(trip, { limits }) {
  if (trip.milliseconds === null || trip.milliamps === null || trip.tripped === false) return false;
  if (trip.milliamps < limits["trip-low-milliamps"].value) return false;
  if (trip.milliamps > limits["trip-high-milliamps"].value) return false;
  return !isQuickEnough(trip.milliseconds / 1000, trip.milliamps);
}

/**
 * Tell whether t^100 (I / 20)^143 <= 1, by repeated multiplication in the same order as the Python.
 * @param {number} seconds
 * @param {number} milliamps
 */
export function isQuickEnough(seconds, milliamps) {
  let product = 1;
  for (let step = 0; step < 143; step += 1) {
    product = product * (milliamps / 20);
    if (step < 100) product = product * seconds;
  }
  return product <= 1;
}
