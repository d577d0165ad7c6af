// Names what a pointer into a record of some kind leads to, by the entries of schemas/facts/labels.json.
import { CONTINUITIES, DETECTOR, PAIRS } from "../lib/words.js";
import { stepsOf } from "./pointers.js";

/** @typedef {Pick<import("../../../schemas/shapes/rig-rules.d.ts").LabelsOfKinds, "of"|"places">[]} Labels */

/** @type {Record<string, Record<string, string>>} */
const NAMES = { pair: PAIRS, near: DETECTOR, continuity: CONTINUITIES };

/** @typedef {{place: string, words: string[]}} Way what was followed, and the steps that a label repeats */

/**
 * @param {string} pointer
 * @param {string} kind of the record
 * @param {Labels} labels empty where they are not on the phone yet; then a place is called as the record calls it
 * @returns {string} such as "Set 2, under load, volts hot–neutral"
 */
export function labelOf(pointer, kind, labels) {
  /** @type {Record<string, string>} */
  const places = Object.assign({}, ...labels.filter(({ of }) => !of || of.includes(kind)).map((each) => each.places));
  const known = Object.keys(places);
  const start = /** @type {Way} */ ({ place: "", words: [] });
  const { place, words } = stepsOf(pointer).reduce((way, step) => further(way, step, known), start);
  if (Object.hasOwn(places, place))
    return /** @type {string} */ (places[place]).replace(/\{(\w+)\}/g, (_, how) => said(words.shift() ?? "", how));
  const plain =
    stepsOf(pointer.replace(/^\/body\b/, ""))
      .join(", ")
      .replaceAll("_", " ") || "the record";
  return plain.charAt(0).toUpperCase() + plain.slice(1);
}

/**
 * Goes on to a member that the table has; else to any number or name, which the label repeats.
 * @param {Way} way
 * @param {string} step
 * @param {string[]} known
 * @returns {Way}
 */
function further({ place, words }, step, known) {
  /** @param {string} name */
  const has = (name) => known.some((each) => `${each}/`.startsWith(`${place}/${name}/`));
  if (has(step)) return { place: `${place}/${step}`, words };
  return { place: `${place}/${/^\d+$/.test(step) && has("#") ? "#" : "*"}`, words: [...words, step] };
}

/** @param {string} step @param {string} how @returns {string} */
const said = (step, how) => (/\d/.test(how) ? String(Number(step) + Number(how)) : (NAMES[how]?.[step] ?? step));
