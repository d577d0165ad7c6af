// Made from schemas/book/ranges.json by deploy/javascript/ranges.mjs; not edited by hand.

/** @import { Range } from "../lib/ranges.js" */

/** @type {Record<string, Range>} by name of a field */
export const CHECK = {
  breaker_amps: { unit: "A", least: 1, most: 100, what: "the number on the breaker" },
  amps: { unit: "A", least: 0.1, most: 100, what: "the amps of the load" },
  amps_percent: { unit: "%", least: 0, most: 20, what: "how well the amps are known" },
  accuracy_percent: { unit: "%", least: 0, most: 20, what: "the percentage from the meter’s leaflet" },
  accuracy_volts: { unit: "V", least: 0, most: 20, what: "the volts from the meter’s leaflet" },
  hertz: { unit: "Hz", least: 30, most: 90, what: "the frequency" },
  milliseconds: { unit: "ms", least: 0, most: 20000, what: "the time to trip" },
  milliamps: { unit: "mA", least: 0, most: 500, what: "the current of the test" },
};
