// Made from schemas/book/ranges.json by deploy/javascript/ranges.mjs; not edited by hand.

/** @import { Range } from "../lib/ranges.js" */

/** @type {Record<string, Range>} by name of a field */
export const PLAN = {
  volts: { unit: "V", least: 80, most: 150, what: "the volts", example: "118.4" },
  least_volts: { unit: "V", least: 90, most: 130, what: "the volts that are to reach the rig", example: "108" },
  volts_xy: { unit: "V", least: 180, most: 270, what: "the volts between the hots", example: "208" },
  source_ohms: { unit: "ohm", least: 0, most: 20, what: "the ohms of the loop", example: "0.3" },
  breaker_amps: { unit: "A", least: 1, most: 200, what: "the number on the breaker", example: "30" },
  "cord.feet": { unit: "ft", least: 0, most: 1000, what: "the length in feet", example: "25" },
  "battery.watt_hours": { unit: "Wh", least: 1, most: 90000, what: "what it holds", example: "1280" },
  "battery.usable": { unit: "%", least: 1, most: 100, what: "the usable share", example: "80" },
  "battery.efficiency": { unit: "%", least: 30, most: 100, what: "the inverter’s efficiency", example: "88" },
  "battery.idle_watts": { unit: "W", least: 0, most: 1000, what: "the inverter’s own draw", example: "10" },
  "battery.inverter_watts": {
    unit: "W",
    least: 10,
    most: 90000,
    what: "what the inverter gives for hours",
    example: "1000",
  },
  "battery.panel_watts": {
    unit: "W",
    least: 1,
    most: 20000,
    what: "the watts of the panel or charger",
    example: "200",
  },
};

/** @type {Record<string, Range>} by name of a field */
export const READING = {
  volts: { unit: "V", least: 0, most: 300, what: "the volts read at the rig", example: "113.4" },
  amps: { unit: "A", least: 0, most: 200, what: "the amps that are on", example: "11.8" },
  outlet: { unit: "V", least: 0, most: 300, what: "the volts read at the outlet", example: "117.2" },
};

/** @type {Record<string, Range>} by name of a field */
export const LOAD = {
  watts: { unit: "W", least: 1, most: 12000, what: "the watts", example: "700" },
  multiple: { unit: "times", least: 1, most: 20, what: "how many times its current it takes to start", example: "6" },
  hours: { unit: "h", least: 0.1, most: 99, what: "the hours", example: "2" },
};
