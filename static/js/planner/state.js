// What a person told the planner, as it is kept on the phone: texts as typed, by rig.

import { readEntry } from "../lib/measured.js";
import { PLAN, READING } from "./ranges.js";

/** @import { Battery } from "../engine/plan.js" */
/** @import { Range } from "../lib/ranges.js" */
/** @import { SupplyEntry } from "./supply.js" */

/**
 * @typedef {object} LoadEntry what is told of a load; texts as typed
 * @property {string} [watts]
 * @property {string} [kind] resistive, motor, electronic, or ""
 * @property {string} [multiple]
 * @property {string} [continuous] yes, no, or ""
 * @property {string} [priority] 1, 2 or 3
 * @property {string} [hours]
 * @property {string} [direct] whether it can run from 12 V by itself: yes, or ""
 *
 * @typedef {object} RigEntries
 * @property {Record<string, LoadEntry>} loads by id of the map's part, or of what was added
 * @property {{id: string, name: string, at: string}[]} added what hangs on no map; at: the part it is plugged into
 * @property {string[]} off
 *
 * @typedef {object} State
 * @property {string|null} [account]
 * @property {number} [touched]
 * @property {string} rig "" where there is none
 * @property {Record<string, string>} told the form of supply, cords and battery
 * @property {Record<string, RigEntries>} rigs by id
 *
 * @typedef {{awg: number, feet: number, contacts_ohms?: number}} Cord
 */

export const CORDS = ["0", "1", "2"];

const { "cord.feet": FEET, ...OWN } = PLAN;
const LEGS_READ = ["read.", "read.y."];
/** The fields of a reading, of one leg and of the other. */
export const READ = LEGS_READ.flatMap((at) => Object.keys(READING).map((of) => at + of));

/** @type {Record<string, Range>} by name of a field */
export const RANGES = {
  ...OWN,
  ...Object.fromEntries(LEGS_READ.flatMap((at) => Object.entries(READING).map(([of, range]) => [at + of, range]))),
  ...Object.fromEntries(CORDS.map((at) => [`cord.${at}.feet`, /** @type {Range} */ (FEET)])),
};

/** @type {Record<string, string>} */
export const FIRST = {
  source: "",
  leg: "both",
  outlet: "TT-30",
  supply: "utility",
  "battery.usable": "80",
  "battery.efficiency": "88",
  "battery.idle_watts": "10",
};

/** @returns {State} */
export const newState = () => ({ rig: "", told: { ...FIRST }, rigs: {} });

/** @param {State} state @returns {RigEntries} kept in the state */
export function ofRig(state) {
  const known = state.rigs[state.rig];
  if (known) return known;
  const fresh = { loads: {}, added: [], off: [] };
  state.rigs[state.rig] = fresh;
  return fresh;
}

/**
 * @param {string|undefined} typed
 * @param {Range|undefined} range
 * @returns {number|null} null where nothing readable is
 */
export function numberOf(typed, range) {
  const { number } = typed && range ? readEntry(typed, range) : {};
  return number === undefined ? null : Number(number);
}

/**
 * What is wrong with fields, by name; an empty one is not.
 * @param {Record<string, string|undefined>} told
 * @param {Record<string, Range>} ranges
 */
export function problemsIn(told, ranges) {
  /** @type {Record<string, string>} */
  const found = {};
  for (const [name, range] of Object.entries(ranges)) {
    const text = told[name] ?? "";
    const { problem } = text.trim() ? readEntry(text, range) : {};
    if (problem) found[name] = problem;
  }
  return found;
}

/** @param {Record<string, string>} told @returns {SupplyEntry} */
export function typedOf(told) {
  const outlet = told.outlet ?? "TT-30";
  return {
    outlet,
    supply: /** @type {SupplyEntry["supply"]} */ (told.supply || "utility"),
    volts: numberOf(told.volts, RANGES.volts),
    ohms: numberOf(told.source_ohms, RANGES.source_ohms),
    breakerAmps: numberOf(told.breaker_amps, RANGES.breaker_amps),
    between: numberOf(told.volts_xy, RANGES.volts_xy),
  };
}

/** Cords of which gauge and length are told. @param {Record<string, string>} told @returns {Cord[]} */
export function cordsOf(told) {
  return CORDS.flatMap((at) => {
    const feet = numberOf(told[`cord.${at}.feet`], RANGES[`cord.${at}.feet`]);
    const awg = told[`cord.${at}.awg`];
    return awg && feet !== null ? [{ awg: Number(awg), feet }] : [];
  });
}

/** @param {Record<string, string>} told @returns {Battery|null} null where what is needed is not told */
export function batteryOf(told) {
  /** @param {string} name */
  const of = (name) => numberOf(told[`battery.${name}`], RANGES[`battery.${name}`]);
  const [watt_hours, inverter_watts] = [of("watt_hours"), of("inverter_watts")];
  const [usable, efficiency, idle_watts] = [of("usable"), of("efficiency"), of("idle_watts")];
  if (watt_hours === null || inverter_watts === null) return null;
  return {
    watt_hours,
    inverter_watts,
    usable: (usable ?? Number(FIRST["battery.usable"])) / 100,
    efficiency: (efficiency ?? Number(FIRST["battery.efficiency"])) / 100,
    idle_watts: idle_watts ?? Number(FIRST["battery.idle_watts"]),
  };
}
