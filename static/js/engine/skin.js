// The rig's skin after plugging in. Twin of skin_level in fieldlog/engine/limits.py.

import { openRulebook } from "./rulebook.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {{volts: number|null, detected: boolean|null, tingle: boolean, supply: string}} Skin */

/**
 * Judge the rig's skin against an earth.
 * @param {Skin} skin
 * @param {Rulebook} raw as fetched
 * @returns {{level: "stop"|"limit"|"note"|"none"|"not-tested", limit_volts: number, sentence: string}}
 */
export function skinLevel(skin, raw) {
  const rulebook = openRulebook(raw);
  const [limit, stop] = ["limit", "stop"].map((name) => rulebook.limit(`ground-lifted-${name}`));
  const level = levelOf(skin, limit, stop);
  const limit_volts = level === "stop" && !skin.tingle && !skin.detected ? stop : limit;
  return { level, limit_volts, sentence: /** @type {Record<string, string>} */ (raw.words.skin)[level] ?? "" };
}

/** @param {Skin} skin @param {number} limit @param {number} stop */
function levelOf({ volts, detected, tingle, supply }, limit, stop) {
  if (tingle || detected) return "stop";
  if (volts === null) return "not-tested";
  if (volts < limit) return "none";
  if (supply !== "utility") return "note";
  return volts >= stop ? "stop" : "limit";
}
