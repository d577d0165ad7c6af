import { readEntry } from "../lib/entry.js";

/** @typedef {Record<string, string|string[]>} Values what a person entered, by field name */

const VOLTS = { unit: "V", least: 0, most: 600, what: "what the meter shows" };

/** The fields that hold a number. */
const RANGES = {
  breaker_amps: { unit: "A", least: 1, most: 100, what: "the number on the breaker" },
  "meter.accuracy_percent": { unit: "%", least: 0, most: 20, what: "the percentage from the meter’s leaflet" },
  "meter.accuracy_volts": { unit: "V", least: 0, most: 20, what: "the volts from the meter’s leaflet" },
  "volts.h-n": VOLTS,
  "volts.h-g": VOLTS,
  "volts.n-g": VOLTS,
  "skin.volts": VOLTS,
  inside: VOLTS,
};

/** The most signs that a text may have. */
const LENGTHS = { "place.park": 120, "place.site": 60, "lamp.h-n.called": 60, "lamp.h-g.called": 60, "lamp.n-g.called": 60, reason: 500 };

/**
 * Says what is wrong with one entry that is not blank.
 * @param {string} name
 * @param {string} typed
 * @returns {string|null}
 */
export function problemOf(name, typed) {
  if (name in RANGES) return readEntry(typed, RANGES[name]).problem ?? null;
  const most = LENGTHS[name];
  if (most && [...typed].length > most) return `Keep it to ${most} characters; these are ${[...typed].length}.`;
  return null;
}

/**
 * Gives an entry as a measured value with its unit.
 * @param {string} name
 * @param {string} typed
 * @returns {string}
 */
export function measuredEntry(name, typed) {
  const range = RANGES[name];
  const entry = readEntry(typed, range);
  if (entry.problem) throw new Error(`${name}: ${entry.problem}`);
  return `${entry.number} ${range.unit}`;
}

/**
 * Asks gently about a reading that looks like a slip of the thumb; it never blocks.
 * @param {string} name
 * @param {string} typed
 * @returns {string|null}
 */
export function questionAbout(name, typed) {
  const range = RANGES[name];
  const entry = range && typed.trim() ? readEntry(typed, range) : {};
  if (entry.number === undefined) return slipOfPoint(name, typed);
  return SLIPS[name]?.(Number(entry.number)) ?? null;
}

/** @param {number} volts @returns {string|null} */
function hotSlip(volts) {
  if (volts >= 9 && volts <= 15) return `Only ${volts} V? If the meter shows ${tenfold(volts)}, add the missing digit. If not, go on.`;
  if (volts > 150) return `${volts} V is far over 120. If the meter really shows it, go on: it matters.`;
  return null;
}

const SLIPS = {
  "volts.h-n": hotSlip,
  "volts.h-g": hotSlip,
  "volts.n-g": (volts) => (volts > 10 ? `${volts} V between neutral and ground is a lot. Are the tips in these two contacts? If so, go on.` : null),
  "skin.volts": (volts) => (volts > 100 ? `${volts} V on the skin? Check the reading without touching the rig, then go on.` : null),
  inside: hotSlip,
  breaker_amps: (amps) => ([15, 20, 30, 50].includes(amps) ? null : `Breakers here say 15, 20, 30 or 50. If it says ${amps}, go on.`),
};

const tenfold = (volts) => String(Math.floor(volts * 100 + 0.5) / 10);

/** @param {string} name @param {string} typed @returns {string|null} */
function slipOfPoint(name, typed) {
  const digits = /^\d{4}$/.exec(typed.trim());
  if (!digits || RANGES[name] !== VOLTS) return null;
  return `Did you mean ${Number(typed) / 10}? The point may be missing.`;
}
