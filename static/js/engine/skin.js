// The rig's skin after plugging in. Twin of fieldlog/engine/skin.py, where the reasons stand; both are fed from
// tests/cases/skin.json.

import { openRulebook } from "./rulebook.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/**
 * @typedef {object} Skin
 * @property {number|null} volts against an earth, by a high-impedance meter
 * @property {number|null} [low_impedance_volts] between the same two places
 * @property {boolean|null} [earth_proved] null where nobody said
 * @property {boolean|null} detected
 * @property {boolean} tingle
 * @property {string} supply one that is not known to float is judged as one that does not
 */
/** @typedef {"stop"|"limit"|"note"|"none"|"not-tested"} Level */

export const FLOATING = ["generator", "inverter"];

/**
 * Judge the rig's skin.
 * @param {Skin} skin
 * @param {Rulebook} raw as fetched
 * @returns {{level: Level, limit_volts: number, words: string, sentence: string}} words: the key of the sentence
 */
export function skinLevel(skin, raw) {
  const rulebook = openRulebook(raw);
  const [limit, stop] = ["limit", "stop"].map((name) => rulebook.limit(`ground-lifted-${name}`));
  const { level, words } = levelOf(skin, limit, stop);
  const said = /** @type {Record<string, string>} */ (raw.words.skin);
  const limit_volts = words.startsWith("live") ? stop : limit;
  return { level, limit_volts, words, sentence: said[words] ?? said[level] ?? "" };
}

/** @param {Skin} skin @param {number} limit @param {number} stop @returns {{level: Level, words: string}} */
function levelOf(skin, limit, stop) {
  const { volts, low_impedance_volts: low = null, supply } = skin;
  if (skin.tingle || skin.detected) return { level: "stop", words: "stop" };
  if (volts === null) return { level: "not-tested", words: "not-tested" };
  const isFloating = FLOATING.includes(supply);
  if (volts >= limit && low !== null && low < limit)
    return isFloating ? { level: "note", words: "vanishes" } : { level: "stop", words: "open-path" };
  const worst = isFloating && low !== null ? Math.max(volts, low) : volts;
  if (worst < limit)
    return skin.earth_proved === false && !isFloating
      ? { level: "not-tested", words: "earth-not-proved" }
      : { level: "none", words: "none" };
  const words = isFloating && low === null ? "-floating" : "";
  return worst >= stop ? { level: "stop", words: `live${words}` } : { level: "limit", words: `limit${words}` };
}
