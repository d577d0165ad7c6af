// What stands against using an outlet, apart from its wiring. Twin of fieldlog/engine/limits.py.

import { has } from "./intake.js";

/** @import { Check } from "./check.js" */
/** @import { Opened } from "./rulebook.js" */
/** @import { Finding, Level } from "../../../schemas/shapes/assessed.d.ts" */

export const PRACTICE = "common practice";
export const OWN_CHOICE = "own choice";
const NO_BOND_IN_RIG = "NEC 551.54(C) (from memory, check the current code)";
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

/** @param {Check} check @param {Opened} rulebook @returns {Finding[]} */
export function lookFindings({ look }, rulebook) {
  if (look === null) return [finding("not-looked", "note", PRACTICE)];
  return rulebook.raw.signs
    .filter(([sign]) => look.includes(sign))
    .map(([sign, level]) => finding(sign, level, PRACTICE));
}

/** @param {Check} check @param {Opened} rulebook */
export function breakerFindings(check, rulebook) {
  const outlet = rulebook.raw.outlets[check.outlet];
  const rating = outlet.rating_amps;
  if (check.breakerAmps === null || check.breakerAmps <= rating) return [];
  const more = { quantity: "breaker_amps", value: check.breakerAmps, limit: rating };
  if (check.outlet === "5-15" && check.breakerAmps === 20) {
    return [finding("breaker-too-big", "note", FIFTEEN_ON_TWENTY, more)];
  }
  return [finding("breaker-too-big", "stop", outlet.source, more)];
}

/** @param {Check} check @param {Opened} rulebook */
export function frequencyFindings(check, rulebook) {
  if (check.hertz === null) return [];
  const low = rulebook.limits["hertz-low"];
  const high = rulebook.limits["hertz-high"];
  if (low.value <= check.hertz && check.hertz <= high.value) return [];
  const border = check.hertz < low.value ? low : high;
  return [finding("frequency", "limit", border.source, { quantity: "hertz", value: check.hertz, limit: border.value })];
}

/** @param {Check} check */
export function detectorFindings(check) {
  const found = [];
  if (check.near.skin) found.push(finding("skin-live", "stop", PRACTICE));
  if (check.near.g) found.push(finding("ground-near-voltage", "limit", PRACTICE));
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
