// Measured values: as a person types them, and as a record has them. The Python twins are fieldlog/words/entry.py and
// fieldlog/model/measured.py; tests/cases/entries.json and measured.json feed both languages.

import { UNITS } from "./ranges.js";

/** @import { Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { Range } from "./ranges.js" */

/** Below these the names are pairs of contacts. */
const BY_PAIR = ["volts", "after"];

/** Something else stands where a measured value should. */
export class NotMeasured extends Error {
  /** @param {string} text @param {string} unit */
  constructor(text, unit) {
    super(`“${text}” is not a number with the unit ${unit}.`);
    this.problems = [{ problem: this.message }];
  }
}

/**
 * Takes the number out of a measured value, "121.3 V".
 * @param {string} text
 * @param {string} unit
 * @returns {number}
 * @throws {NotMeasured}
 */
export function measured(text, unit) {
  const match = /^([0-9]{1,5}(?:\.[0-9]{1,4})?) (.+)$/.exec(text);
  if (!match || match[2] !== unit) throw new NotMeasured(text, unit);
  return Number(match[1]);
}

/**
 * Turns a check as it is recorded into the numbers that assess takes.
 * @param {Check} check
 * @returns {unknown} of which assess says itself what is wrong with it
 */
export function checkInput(check) {
  return asInput("", check);
}

/**
 * Pairs of contacts are measured as what they stand below is.
 * @param {string} member
 * @param {string} name
 */
const inner = (member, name) => (BY_PAIR.includes(member) ? member : name);
/** @param {string} member @param {unknown} value @returns {unknown} */
function asInput(member, value) {
  if (Array.isArray(value)) return value.map((each) => asInput(member, each));
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, asInput(inner(member, name), each)]));
  }
  const unit = Object.hasOwn(UNITS, member) ? UNITS[member] : undefined;
  return typeof value === "string" && unit ? measured(value, unit) : value;
}

/**
 * @typedef {{number: string, problem?: undefined}|{problem: string, number?: undefined}} Entry with a dot
 */

/** @type {Record<string, string>} */
const EXAMPLES = { V: "121.3", A: "30", "%": "1.0", Hz: "60.0", ms: "24", s: "60", mA: "6", ohm: "0.3", Mohm: "20" };
const NUMBER = /^(\d{0,5})(?:[.,](\d{0,4}))?$/;
const BLANK_INSIDE = /[\d.,][\s\u00a0\u202f]+[\d.,]/;
const SIGN_OF_VOLTS = "Leave the sign out: an AC reading has none. Is the meter set to AC?";

/**
 * Reads a typed number: comma or dot, its unit or not.
 * @param {string} typed
 * @param {Range} range
 * @returns {Entry}
 */
export function readEntry(typed, range) {
  const text = stripped(typed, range.unit);
  if (text.startsWith("-") || text.startsWith("−"))
    return { problem: range.unit === "V" ? SIGN_OF_VOLTS : outside(range) };
  const match = NUMBER.exec(text);
  if (!match || !/\d/.test(text)) return { problem: unreadable(text, range) };
  const read = inRange(plain(match), range);
  return read.number && BLANK_INSIDE.test(typed)
    ? { problem: `There is a blank inside the number. Did you mean ${read.number}?` }
    : read;
}

/** @param {string} typed @param {string} unit @returns {string} */
function stripped(typed, unit) {
  const text = typed.replace(/[\s\u00a0\u202f]/g, "");
  return text.toLowerCase().endsWith(unit.toLowerCase()) ? text.slice(0, -unit.length) : text;
}

/** @param {string} text @param {Range} range @returns {string} */
function unreadable(text, range) {
  if (/^\d{6,}/.test(text)) return outside(range);
  if (/^\d*[.,]\d{5,}$/.test(text)) return "Give at most four digits after the point.";
  return `Type ${range.what} as a number, such as ${exampleOf(range)}.`;
}

/** @param {RegExpExecArray} match @returns {string} */
function plain([, whole = "", part]) {
  const digits = whole.replace(/^0+(?=\d)/, "") || "0";
  return part ? `${digits}.${part}` : digits;
}

/** @param {string} number @param {Range} range @returns {Entry} */
function inRange(number, range) {
  const value = Number(number);
  if (value < range.least || value > range.most) return { problem: outside(range) };
  return { number };
}

/** @param {Range} range */
const outside = (range) => `Type a number from ${range.least} to ${range.most} ${range.unit}.`;
/** @param {Range} range */
const exampleOf = ({ example, unit }) => example ?? EXAMPLES[unit];
