// Names what a pointer into a record of some kind leads to, by the entries of schemas/facts/labels.json.
import { CONTINUITIES, NEAR, PAIRS } from "../lib/words.js";
import { stepsOf } from "./pointers.js";

/** @typedef {Pick<import("../../../schemas/shapes/rig-rules.d.ts").LabelsOfKinds, "of"|"places">[]} Labels */

const NAMES = { pair: PAIRS, near: NEAR, continuity: CONTINUITIES };

/**
 * @param {string} pointer
 * @param {string} kind of the record
 * @param {Labels} labels empty where they are not on the phone yet; then a place is called as the record calls it
 * @returns {string} such as "Set 2, under load, volts hot–neutral"
 */
export function labelOf(pointer, kind, labels) {
  const places = Object.assign({}, ...labels.filter(({ of }) => !of || of.includes(kind)).map((each) => each.places));
  const [place, words] = stepsOf(pointer).reduce((way, step) => further(way, step, Object.keys(places)), ["", []]);
  if (Object.hasOwn(places, place)) return places[place].replace(/\{(\w+)\}/g, (_, how) => said(words.shift(), how));
  const plain =
    stepsOf(pointer.replace(/^\/body\b/, ""))
      .join(", ")
      .replaceAll("_", " ") || "the record";
  return plain[0].toUpperCase() + plain.slice(1);
}

/** Goes on to a member that the table has; else to any number or name, which the label repeats. */
function further([place, words], step, known) {
  const has = (name) => known.some((each) => `${each}/`.startsWith(`${place}/${name}/`));
  if (has(step)) return [`${place}/${step}`, words];
  return [`${place}/${/^\d+$/.test(step) && has("#") ? "#" : "*"}`, [...words, step]];
}

const said = (step, how) => (/\d/.test(how) ? Number(step) + Number(how) : (NAMES[how]?.[step] ?? step));
