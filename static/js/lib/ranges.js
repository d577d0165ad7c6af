// Made from schemas/book/ranges.json by deploy/javascript/ranges.mjs; not edited by hand.

/** @typedef {{unit: string, least: number, most: number, what: string, example?: string}} Range of a field */

/** @type {Range} */
export const VOLTS = { unit: "V", least: 0, most: 600, what: "what the meter shows" };

/** @type {Range} */
export const OHMS = { unit: "ohm", least: 0, most: 99999, what: "the ohms" };

/** @type {Record<string, string>} where a check holds measured values, and the unit of each */
export const UNITS = {
  volts: "V",
  amps: "A",
  breaker_amps: "A",
  accuracy_percent: "%",
  accuracy_volts: "V",
  milliseconds: "ms",
  milliamps: "mA",
  hertz: "Hz",
  amps_percent: "%",
  after: "V",
};
