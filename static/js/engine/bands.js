// Where the volts lie. Twin of fieldlog/engine/bands.py, where the reasons stand.

import { has } from "./intake.js";
import { finding, PRACTICE } from "./limits.js";
import { liveSets } from "./sets.js";

/** @import { Check, Meter, ReadingSet, Volts } from "./check.js" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Finding, Level } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Limit } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {ReturnType<typeof levelOf>} VoltsReading volts whose level is judged */
/** @typedef {[Level, Limit]} Band */

const BANDED_PAIRS = ["h-n", "x-n", "y-n"];
const BOTH_HOTS = "x-y";
const LAWFUL_SHARES = [1, Math.sqrt(0.75)];
const TWO_LEGS = "Kirchhoff's voltage law: legs 180 or 120 degrees apart lie 1.00 or 0.87 of their sum apart";
const BINARY_VOLTS = 1e-6;
const LEVELS = ["stop", "limit", "note"];

/**
 * Judge the level of every reading from hot to neutral, and between two hots.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function voltageFindings(check, rulebook) {
  const levels = levelsOf(check, rulebook);
  const coarse = rulebook.limits["meter-coarse"];
  const fine = new Set(
    levels.filter((one) => !(one.accuracy > coarse.value * one.times)).map(({ quantity }) => quantity),
  );
  /** @type {Finding[]} */
  const found = [];
  for (const one of levels) {
    const isCoarse = one.accuracy > coarse.value * one.times;
    if (isCoarse && fine.has(one.quantity)) continue;
    if (isCoarse) found.push(levelFinding("meter-too-coarse", "limit", one, coarse.source, coarse.value, false));
    found.push(...bandFindings(one, check, rulebook));
  }
  return worst([...found, ...legs208(check, rulebook), ...legsDisagree(check, rulebook), ...misledFindings(check)]);
}

/** @param {Check} check @param {Rules} rulebook */
function levelsOf(check, rulebook) {
  const levels = [];
  for (const one of liveSets(check)) {
    const loaded = one.loaded?.volts ?? {};
    for (const bare of [one.volts, one.loaded?.after ?? {}]) {
      const own = levelsIn(bare, one.meter, "", check, rulebook);
      levels.push(...own.filter((level) => !standsForIt(level, loaded, check, rulebook)));
    }
    levels.push(...levelsIn(loaded, one.meter, "loaded.", check, rulebook));
  }
  return levels;
}

/**
 * Whether a generator's or inverter's volts under load stand for those without; too high is that.
 * @param {VoltsReading} bare
 * @param {Volts} loaded
 * @param {Check} check
 * @param {Rules} rulebook
 */
const standsForIt = (bare, loaded, check, rulebook) =>
  check.supply !== "utility" && has(loaded, bare.quantity) && !(bare.volts > rulebook.limit("high-stop") * bare.times);

/** @param {Meter} meter @param {Check} check */
const isMisled = (meter, check) => meter.rms === "average" && check.supply === "inverter";

/** @param {Volts} volts @param {Meter} meter @param {string} prefix @param {Check} check @param {Rules} rulebook */
function levelsIn(volts, meter, prefix, check, rulebook) {
  const misled = isMisled(meter, check);
  const levels = BANDED_PAIRS.filter((pair) => has(volts, pair)).map((pair) =>
    levelOf(prefix, pair, volts[pair], meter, 1, misled),
  );
  const share = shareOfLegs(volts);
  if (share !== null && share > rulebook.limit("legs-240-from")) {
    levels.push(levelOf(prefix, BOTH_HOTS, volts[BOTH_HOTS], meter, 2, misled));
  }
  return levels;
}

/**
 * @param {string} prefix
 * @param {string} pair
 * @param {number} volts
 * @param {Meter} meter
 * @param {number} times
 * @param {boolean} misled by an inverter's wave
 */
function levelOf(prefix, pair, volts, meter, times, misled) {
  const accuracy = readingError(volts, meter);
  return { quantity: `${prefix}${pair}`, volts, accuracy, isLoaded: prefix !== "", times, misled };
}

/** @param {number} volts @param {Meter} meter */
const readingError = (volts, { accuracyPercent, accuracyVolts }) => (volts * accuracyPercent) / 100 + accuracyVolts;

/** @param {Volts} volts */
function shareOfLegs(volts) {
  if ([BOTH_HOTS, "x-n", "y-n"].some((pair) => !has(volts, pair))) return null;
  const legs = volts["x-n"] + volts["y-n"];
  return legs > 0 ? volts[BOTH_HOTS] / legs : null;
}

/** @param {Check} check @param {Rules} rulebook */
function legs208(check, rulebook) {
  const found = [];
  for (const one of liveSets(check)) {
    const share = shareOfLegs(one.volts);
    if (share === null || share > rulebook.limit("legs-240-from") || share < rulebook.limit("legs-208-from")) continue;
    const level = levelOf("", BOTH_HOTS, one.volts[BOTH_HOTS], one.meter, 1, false);
    const low = rulebook.limits["legs-208-low"];
    const high = rulebook.limits["legs-208-high"];
    const border = level.volts < low.value ? low : high;
    const isOutside = level.volts < low.value || level.volts > high.value;
    found.push(
      levelFinding(
        "legs-208",
        isOutside ? "limit" : "note",
        level,
        border.source,
        isOutside ? border.value : null,
        false,
      ),
    );
  }
  return found;
}

/** @param {Check} check @param {Rules} rulebook */
function legsDisagree(check, rulebook) {
  const least = rulebook.limit("legs-208-from");
  const sets = liveSets(check).filter(({ volts }) => has(volts, "n-g"));
  const latest = new Map(sets.map((one) => [one.meter.input, one]));
  return [...latest.values()].filter(({ volts }) => (shareOfLegs(volts) ?? 0) >= least).flatMap(unlawfulLegs);
}

/** @param {ReadingSet} one */
function unlawfulLegs({ volts, meter }) {
  const value = volts[BOTH_HOTS];
  const legs = volts["x-n"] + volts["y-n"];
  // The legs by themselves first, so that it is the same to the last bit with the legs changed over.
  const ofLegs = readingError(volts["x-n"], meter) + readingError(volts["y-n"], meter);
  const uncertainty = 2 * volts["n-g"] + BINARY_VOLTS + readingError(value, meter) + ofLegs;
  const [whole, less] = LAWFUL_SHARES.map((share) => share * legs);
  const limit = Math.abs(value - whole) <= Math.abs(value - less) ? whole : less;
  if (!(Math.abs(value - limit) > uncertainty)) return [];
  return [
    finding("legs-disagree", "limit", TWO_LEGS, { quantity: BOTH_HOTS, value, uncertainty, limit, straddles: false }),
  ];
}

/** @param {Check} check */
function misledFindings(check) {
  const found = liveSets(check).some(
    (one) =>
      isMisled(one.meter, check) && [one.volts, one.loaded?.volts ?? {}].some((volts) => Object.keys(volts).length > 0),
  );
  return found ? [finding("meter-not-true-rms", "limit", PRACTICE)] : [];
}

/** @param {VoltsReading} one @param {Rules} rulebook */
function bandOfAverage(one, { limits }) {
  const volts = one.volts / one.times;
  /** @param {string} name @param {Limit} border */
  const said = (name, border) => [levelFinding(name, "stop", one, border.source, border.value * one.times, false)];
  if (volts < limits["average-low"].value) return said("voltage-low", limits["average-low"]);
  return volts > limits["average-high"].value ? said("voltage-high", limits["average-high"]) : [];
}

/** @param {VoltsReading} one @param {Check} check @param {Rules} rulebook */
function bandFindings(one, check, rulebook) {
  if (one.misled) return bandOfAverage(one, rulebook);
  const low = [one.volts - one.accuracy, one.volts].map((volts) => lowBand(volts / one.times, one, check, rulebook));
  const high = [one.volts + one.accuracy, one.volts].map((volts) => highBand(volts / one.times, rulebook));
  const found = [];
  for (const [name, [band, own]] of /** @type {[string, [Band|null, Band|null]][]} */ ([
    ["voltage-low", low],
    ["voltage-high", high],
  ])) {
    if (band === null) continue;
    const [level, limit] = band;
    const straddles = own === null || own[0] !== level;
    found.push(levelFinding(name, level, one, limit.source, limit.value * one.times, straddles));
  }
  return found;
}

/**
 * @param {string} name
 * @param {Level} level
 * @param {VoltsReading} one
 * @param {string} source
 * @param {number|null} limit
 * @param {boolean} straddles
 */
function levelFinding(name, level, one, source, limit, straddles) {
  return finding(name, level, source, {
    quantity: one.quantity,
    value: one.volts,
    uncertainty: one.accuracy,
    limit,
    straddles,
  });
}

/** @param {number} volts @param {VoltsReading} one @param {Check} check @param {Rules} rulebook @returns {Band|null} */
function lowBand(volts, one, check, { limits }) {
  const isLenient = one.isLoaded || check.where === "rig";
  const border = isLenient ? limits["rig-low-limit"] : limits["low-limit"];
  if (volts < limits["low-stop"].value) return ["stop", limits["low-stop"]];
  if (volts < border.value) return ["limit", border];
  if (one.isLoaded) return null;
  return volts < limits["low-note"].value ? ["note", limits["low-note"]] : null;
}

/** @param {number} volts @param {Rules} rulebook @returns {Band|null} */
function highBand(volts, { limits }) {
  if (volts > limits["high-stop"].value) return ["stop", limits["high-stop"]];
  if (volts > limits["high-limit"].value) return ["limit", limits["high-limit"]];
  return volts > limits["high-note"].value ? ["note", limits["high-note"]] : null;
}

/** @param {Finding[]} found */
function worst(found) {
  /** @type {Map<string, Finding>} */
  const kept = new Map();
  for (const one of found) {
    const key = `${one.id} ${one.quantity}`;
    const before = kept.get(key);
    if (before === undefined || LEVELS.indexOf(one.level) < LEVELS.indexOf(before.level)) kept.set(key, one);
  }
  return [...kept.values()];
}
