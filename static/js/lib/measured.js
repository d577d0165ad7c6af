/** @import { Check } from "../../../schemas/shapes/record.d.ts" */

/**
 * Where a check holds measured values, and the unit of each, as fieldlog/model/measured.py has them.
 * @type {Record<string, string>}
 */
const UNITS = {
  breaker_amps: "A",
  amps: "A",
  amps_percent: "%",
  hertz: "Hz",
  accuracy_percent: "%",
  accuracy_volts: "V",
  milliseconds: "ms",
  milliamps: "mA",
  volts: "V",
  after: "V",
};

/** Below these the names are pairs of contacts. */
const BY_PAIR = ["volts", "after"];

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
