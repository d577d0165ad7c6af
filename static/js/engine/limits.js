// What stands against using an outlet, apart from its wiring. Twin of fieldlog/engine/limits.py.

import { FOUR_CONTACTS } from "./contacts.js";
import { has } from "./intake.js";
import { liveSets } from "./sets.js";

/** @import { Check } from "./check.js" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Finding, Level } from "../../../schemas/shapes/assessed.d.ts" */

export const PRACTICE = "common practice";
export const OWN_CHOICE = "own choice";
export const NO_DEVICE =
  "NEC 551.71(F) and 210.8(B): 15 and 20 A outlets of a campground stand behind a ground-fault device";
const NO_BOND_IN_RIG = "common practice; NEC 551.54(C), check the current code";
const BOTH_HOTS = "x-y";
const FIFTEEN_ON_TWENTY = "NEC 210.21(B)(3): 15 A receptacles on a 20 A circuit of two or more";

/**
 * Give a finding with every member present.
 * @param {string} id
 * @param {Level} level
 * @param {string} source
 * @param {Partial<Finding>} [more]
 * @returns {Finding}
 */
export function finding(id, level, source, more = {}) {
  return { id, level, source, quantity: null, value: null, uncertainty: null, limit: null, straddles: null, ...more };
}

/** @param {Check} check @param {Rules} rulebook @returns {Finding[]} */
export function lookFindings({ look }, rulebook) {
  if (look === null) return [finding("not-looked", "note", PRACTICE)];
  return rulebook.raw.signs
    .filter(([sign]) => look.includes(sign))
    .map(([sign, level]) => finding(sign, level, PRACTICE));
}

/** @param {Check} check @param {Rules} rulebook */
export function breakerFindings(check, rulebook) {
  const atPedestal = supplyingOutlet(check);
  const outlet = rulebook.raw.outlets[atPedestal];
  const rating = outlet.rating_amps;
  if (check.breakerAmps === null || check.breakerAmps <= rating) return [];
  const more = { quantity: "breaker_amps", value: check.breakerAmps, limit: rating };
  if (atPedestal === "5-15" && check.breakerAmps === 20) {
    return [finding("breaker-too-big", "note", FIFTEEN_ON_TWENTY, more)];
  }
  return [finding("breaker-too-big", "stop", outlet.source, more)];
}

/**
 * The outlet that the breaker stands before: the one read, or the first adapter's.
 * @param {Check} check
 */
const supplyingOutlet = ({ via, outlet }) =>
  via.length > 0 ? /** @type {Check["outlet"]} */ (via[0].split("-to-")[0]) : outlet;

/**
 * Whether an adapter takes both legs from the one hot of a 120 V outlet.
 * @param {Check} check
 */
export const isBehind120Volts = ({ via, outlet }) =>
  outlet === FOUR_CONTACTS && via.some((one) => one.split("-to-")[0] !== FOUR_CONTACTS);

/**
 * Say what a breaker before an adapter does not guard, and where its legs lie apart.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function adapterFindings(check, rulebook) {
  if (check.via.length === 0) return [];
  const found = [];
  const { outlets } = rulebook.raw;
  const rating = outlets[check.outlet].rating_amps;
  const before = check.breakerAmps ?? outlets[supplyingOutlet(check)].rating_amps;
  if (before > rating) {
    const more = { quantity: "breaker_amps", value: before, limit: rating };
    found.push(finding("not-protected-by-breaker", "limit", PRACTICE, more));
  }
  const { value: limit } = rulebook.limits["contacts-apart"];
  const apart = isBehind120Volts(check)
    ? liveSets(check).find(({ volts }) => has(volts, BOTH_HOTS) && volts[BOTH_HOTS] >= limit)
    : undefined;
  if (apart) {
    const more = { quantity: BOTH_HOTS, value: apart.volts[BOTH_HOTS], limit };
    found.push(finding("legs-behind-adapter", "stop", PRACTICE, more));
  }
  return found;
}

/** @param {Check} check @param {Rules} rulebook */
export function frequencyFindings(check, rulebook) {
  if (check.hertz === null) return [];
  const low = rulebook.limits["hertz-low"];
  const high = rulebook.limits["hertz-high"];
  if (low.value <= check.hertz && check.hertz <= high.value) return [];
  const border = check.hertz < low.value ? low : high;
  return [finding("frequency", "limit", border.source, { quantity: "hertz", value: check.hertz, limit: border.value })];
}

/** @param {Check} check @param {boolean} isGroundClean by a proved earth */
export function detectorFindings(check, isGroundClean) {
  const found = [];
  if (check.detector.skin) found.push(finding("skin-live", "stop", PRACTICE));
  if (check.detector.skin === false) found.push(finding("skin-not-tested", "note", PRACTICE));
  if (check.detector.g) found.push(finding("ground-near-voltage", isGroundClean ? "note" : "limit", PRACTICE));
  if (check.detector.n && ["h", "x", "y"].some((hot) => check.detector[hot] === false)) {
    found.push(finding("neutral-near-voltage", "limit", PRACTICE));
  }
  return found;
}

/** @param {Check} check */
export function continuityFindings(check) {
  const found = [];
  if (has(check.continuity, "g-frame") && check.continuity["g-frame"] === "open") {
    found.push(finding("ground-not-on-frame", "stop", PRACTICE));
  }
  if (has(check.continuity, "n-g") && check.continuity["n-g"] === "closed" && check.where === "rig") {
    found.push(finding("neutral-bonded-in-rig", "stop", NO_BOND_IN_RIG));
  }
  return found;
}
