// Made from schemas/book/ranges.json by deploy/javascript/ranges.mjs; not edited by hand.

/** @import { Range } from "../lib/ranges.js" */

/** @type {Record<string, Range>} by name of a field */
export const PROOF = {
  V: { unit: "V", least: 0, most: 600, what: "what the meter shows" },
  ohm: { unit: "ohm", least: 0, most: 99999, what: "what the meter shows" },
  Mohm: { unit: "Mohm", least: 0, most: 9999, what: "what the meter shows" },
};

/** @type {Record<string, Range>} by name of a field */
export const SHOP = {
  volts: { unit: "V", least: 0, most: 99999, what: "the volts of the test" },
  seconds: { unit: "s", least: 0, most: 99999, what: "the seconds" },
};
