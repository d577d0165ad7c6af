// The rig's skin after plugging in. Twin of skin_level in fieldlog/engine/limits.py.

import { openRulebook } from "./rulebook.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {{volts: number|null, detected: boolean|null, tingle: boolean, supply: string}} Skin */

/**
 * Judge the rig's skin against an earth.
 * @param {Skin} skin
 * @param {Rulebook} raw as fetched
 * @returns {{level: "stop"|"note"|"none"|"not-tested", limit_volts: number, sentence: string}}
 */
export function skinLevel(skin, raw) {
  const rulebook = openRulebook(raw);
  const limit = rulebook.limits["skin-utility"].value;
  const level = levelOf(skin, limit);
  return { level, limit_volts: limit, sentence: /** @type {Record<string, string>} */ (raw.words.skin)[level] ?? "" };
}

/** @param {Skin} skin @param {number} limit */
function levelOf({ volts, detected, tingle, supply }, limit) {
  if (tingle || detected) return "stop";
  if (volts === null) return detected === null ? "not-tested" : "none";
  if (volts <= limit) return "none";
  return supply === "utility" ? "stop" : "note";
}
