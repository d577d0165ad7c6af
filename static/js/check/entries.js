import { readEntry } from "../lib/measured.js";
import { VOLTS } from "../lib/ranges.js";
import { CHECK } from "./ranges.js";

/** @import { Range } from "../lib/ranges.js" */

/**
 * What a person entered, by field name. Most names have a dot.
 * @typedef {Lists & NamedEntries & {[name: `${string}.${string}`]: string|undefined}} Values
 */

/** @typedef {{added?: string[], look?: string[], looked?: string|string[]}} Lists */

/**
 * @typedef {object} NamedEntries
 * @property {string} [outlet]
 * @property {string} [supply]
 * @property {string} [by]
 * @property {string} [breaker_amps]
 * @property {string} [stopped]
 * @property {string} [usable]
 * @property {string} [tingle]
 * @property {string} [inside]
 * @property {string} [verdict]
 * @property {string} [legs] of the outlet that was read
 * @property {string} [feel_on] when half an hour is over
 * @property {string} [quick] yes where all volts are typed on one screen
 * @property {string} [lamps_known]
 * @property {string} [lamp4s_known]
 */

/** @param {Values} values @param {string} name of a field of text @returns {string} empty where nothing was entered */
export const textAt = (values, name) => /** @type {Record<string, string|undefined>} */ (values)[name] ?? "";

/** @param {string} name @returns {Range|undefined} */
function rangeOf(name) {
  const isVolts = pairOf(name) || ["skin.volts", "skin.low"].includes(name) || name.split(".").at(-1) === "inside";
  return isVolts ? VOLTS : CHECK[name.split(".").at(-1) ?? ""]; // by the last part of its name
}

/** @param {string} name @returns {string|undefined} the pair of contacts whose volts a field holds, in whatever set */
const pairOf = (name) => /(?:^|\.)(?:volts|after)\.([a-z]-[a-z])$/.exec(name)?.[1];

/** @param {Values} values @param {string} name @returns {number|null} null where it is no number, or left out */
export function numberAt(values, name) {
  const range = rangeOf(name);
  const typed = values[`${name}.skipped`] === "yes" ? "" : textAt(values, name);
  const entry = range && typed.trim() ? readEntry(typed, range) : null;
  return entry?.number === undefined ? null : Number(entry.number);
}

/** @type {Record<string, number>} */
const LENGTHS = { "place.park": 120, "place.site": 60, reason: 500 };

/** @param {string} name @returns {number|undefined} the most signs that a text may have */
function lengthOf(name) {
  if (/^lamp4?\..*\.called$/.test(name)) return 60;
  return LENGTHS[name];
}

/**
 * Says what is wrong with one entry that is not blank.
 * @param {string} name
 * @param {string} typed
 * @returns {string|null}
 */
export function problemOf(name, typed) {
  const range = rangeOf(name);
  if (range) return readEntry(typed, range).problem ?? null;
  const most = lengthOf(name);
  if (most && [...typed].length > most) return `Keep it to ${most} characters; these are ${[...typed].length}.`;
  return null;
}

/** An entry that cannot be kept; its problems are told as those of the engine are. */
export class EntryProblem extends Error {
  /** @param {string} name @param {string} problem */
  constructor(name, problem) {
    super(`${name}: ${problem}`);
    this.problems = [{ at: name, problem }];
  }
}

/**
 * Gives an entry as a measured value with its unit.
 * @param {string} name
 * @param {string|undefined} typed
 * @returns {string}
 */
export function measuredEntry(name, typed) {
  const range = rangeOf(name);
  if (!range) throw new Error(`${name} holds no number.`);
  const entry = readEntry(typed ?? "", range);
  if (entry.problem) throw new EntryProblem(name, entry.problem);
  return `${entry.number} ${range.unit}`;
}

/**
 * Asks gently about a reading that looks like a slip of the thumb; it never blocks.
 * @param {string} name
 * @param {string} typed
 * @returns {string|null}
 */
export function questionAbout(name, typed) {
  const range = rangeOf(name);
  if (!range || !typed.trim()) return null;
  const entry = readEntry(typed, range);
  if (entry.number === undefined) return slipOfPoint(name, typed);
  return slipOfComma(typed, entry.number) ?? slipOf(name)?.(Number(entry.number)) ?? null;
}

/** @param {string} name */
const slipOf = (name) => SLIPS[pairOf(name) ?? name];

/** @param {number} volts @returns {string|null} */
function hotSlip(volts) {
  if (volts >= 9 && volts <= 15) return lostDigit(volts);
  if (volts > 150) return `${volts} V is far over 120. If the meter really shows it, go on: it matters.`;
  return null;
}

/** @param {number} volts @returns {string|null} */
function legsSlip(volts) {
  if (volts >= 18 && volts <= 26) return lostDigit(volts);
  if (volts >= 190 && volts <= 260) return null;
  return `Between the two hot contacts 240 or 208 V are usual. If the meter really shows ${
    volts
  } V, go on: it matters.`;
}

/** @param {string} one @param {string} other @returns {(volts: number) => string|null} */
const quietSlip = (one, other) => (volts) =>
  volts > 10
    ? `${volts} V between ${one} and ${other} is a lot. Are the tips in these two contacts? If so, go on.`
    : null;

/** @type {Record<string, (value: number) => string|null>} */
const SLIPS = {
  ...Object.fromEntries(
    ["h-n", "h-g", "x-n", "y-n", "x-g", "y-g", "h-e", "x-e", "y-e", "inside"].map((name) => [name, hotSlip]),
  ),
  "x-y": legsSlip,
  "n-g": quietSlip("neutral", "ground"),
  "n-e": quietSlip("neutral", "earth"),
  "g-e": (volts) =>
    volts > 10
      ? `${
          volts
        } V between ground and earth is a lot. Do not touch the metal. If the meter really shows it, go on: it matters.`
      : null,
  "skin.volts": (volts) =>
    volts > 100 ? `${volts} V on the skin? Check the reading without touching the rig, then go on.` : null,
  breaker_amps: (amps) =>
    [15, 20, 30, 50].includes(amps) ? null : `Breakers here say 15, 20, 30 or 50. If it says ${amps}, go on.`,
};

/** @param {number} volts */
const lostDigit = (volts) =>
  `Only ${volts} V? If the meter shows ${tenfold(volts)}, add the missing digit. If not, go on.`;

/** @param {number} volts */
const tenfold = (volts) => String(Math.floor(volts * 100 + 0.5) / 10);

/**
 * A comma before three digits is a point to some and parts thousands for others.
 * @param {string} typed
 * @param {string} number
 * @returns {string|null}
 */
function slipOfComma(typed, number) {
  const digits = /^\D*(\d{1,3}),(\d{3})\D*$/.exec(typed);
  return digits && `Did you mean ${digits[1]}${digits[2]} or ${number}? As it stands it is read as ${number}.`;
}

/** @param {string} name @param {string} typed @returns {string|null} */
function slipOfPoint(name, typed) {
  const digits = /^\d{4}$/.exec(typed.trim());
  if (!digits || rangeOf(name) !== VOLTS) return null;
  return `Did you mean ${Number(typed) / 10}? The point may be missing.`;
}
