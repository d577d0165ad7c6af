/** @import { Check } from "../../../schemas/shapes/record.d.ts" */
/** @typedef {[unit: string, low: number, high: number]} Span */

/**
 * Where a check holds measured values: unit, lowest and highest, as fieldlog/model/measured.py has them.
 * @type {Record<string, Span>}
 */
const RANGES = {
  breaker_amps: ["A", 0, 100],
  amps: ["A", 0, 100],
  amps_percent: ["%", 0, 20],
  hertz: ["Hz", 30, 90],
  accuracy_percent: ["%", 0, 20],
  accuracy_volts: ["V", 0, 20],
  milliseconds: ["ms", 0, 20000],
  milliamps: ["mA", 0, 500],
  volts: ["V", 0, 600],
  after: ["V", 0, 600],
};

/** Below these the names are pairs of contacts. */
const BY_PAIR = ["volts", "after"];

/** An amount of amperes cannot be nought. */
const ABOVE_NOUGHT = ["breaker_amps", "amps"];

/**
 * Takes the number out of a measured value, "121.3 V".
 * @param {string} text
 * @param {string} unit
 * @returns {number}
 */
export function measured(text, unit) {
  const match = /^([0-9]{1,5}(?:\.[0-9]{1,4})?) (.+)$/.exec(text);
  if (!match || match[2] !== unit) throw new Error(`“${text}” is not a number with the unit ${unit}.`);
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
 * Goes through the measured values of a check that no instrument can have shown.
 * @param {Check} check
 * @returns {{ at: string, problem: string }[]} a JSON pointer below the check, and a sentence
 */
export function outOfRange(check) {
  return texts("", "", check).flatMap(({ at, member, text }) => {
    const [unit, low, high] = /** @type {Span} */ (RANGES[member]);
    const value = measured(text, unit);
    const isAbove = ABOVE_NOUGHT.includes(member);
    if (low <= value && value <= high && !(isAbove && value === 0)) return [];
    const least = isAbove ? "above 0 and up to" : `between ${low} and`;
    return [{ at, problem: `${text} is not ${least} ${high} ${unit}; look for a lost decimal point.` }];
  });
}

/**
 * Pairs of contacts are measured as what they stand below is.
 * @param {string} member
 * @param {string} name
 */
const inner = (member, name) => (BY_PAIR.includes(member) ? member : name);
/** @param {string} member @param {unknown} value @returns {value is string} */
const isMeasured = (member, value) => typeof value === "string" && Object.hasOwn(RANGES, member);

/** @param {string} member @param {unknown} value @returns {unknown} */
function asInput(member, value) {
  if (Array.isArray(value)) return value.map((each) => asInput(member, each));
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, asInput(inner(member, name), each)]));
  }
  return isMeasured(member, value) ? measured(value, /** @type {Span} */ (RANGES[member])[0]) : value;
}

/**
 * @param {string} at @param {string} member @param {unknown} value
 * @returns {{ at: string, member: string, text: string }[]}
 */
function texts(at, member, value) {
  if (Array.isArray(value)) return value.flatMap((each, i) => texts(`${at}/${i}`, member, each));
  if (value && typeof value === "object") {
    return Object.entries(value).flatMap(([name, each]) => texts(`${at}/${name}`, inner(member, name), each));
  }
  return isMeasured(member, value) ? [{ at, member, text: value }] : [];
}
