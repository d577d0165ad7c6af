// What a person types as a number. The Python twin is fieldlog/words/entry.py; both are tested from
// tests/cases/entries.json.

/**
 * @typedef {{unit: Unit, least: number, most: number, what: string}} Range
 * @typedef {keyof typeof EXAMPLES} Unit
 * @typedef {{number: string, problem?: undefined}|{problem: string, number?: undefined}} Entry with a dot
 */

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
  return `Type ${range.what} as a number, such as ${example(range)}.`;
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
const example = (range) => EXAMPLES[range.unit];
