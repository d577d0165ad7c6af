// What a check holds once it was read. Twin of fieldlog/model/check.py.

/** @import { OutletType, Pair } from "../../../schemas/shapes/record.d.ts" */

export const LAMP_STATES = /** @type {const} */ (["lit", "dim", "dark"]);

/**
 * @typedef {"utility"|"generator"|"inverter"} Source
 * @typedef {"pedestal"|"rig"} Place
 * @typedef {"as-found"|"unplugged"|"breaker-off"} State
 * @typedef {typeof LAMP_STATES[number]} LampState
 * @typedef {"n-g"|"g-frame"} Link that is shown with the source stopped
 */

/** @typedef {Record<string, number>} Volts by pair of contacts [V]; a pair that was not read is missing */
/** @typedef {Record<string, LampState>} Lamps by pair of contacts; one that was not looked at is missing */

/**
 * @typedef {object} Meter
 * @property {"high-impedance"|"low-impedance"} input
 * @property {number} accuracyPercent
 * @property {number} accuracyVolts
 * @property {"true"|"average"} rms
 */

/**
 * @typedef {object} LoadTest what was read with a load on
 * @property {Pair} across
 * @property {number} amps
 * @property {number} ampsPercent
 * @property {Volts} volts
 * @property {Volts} after the same pairs with the load off again
 */

/**
 * @typedef {object} ReadingSet what was read in one state of the outlet
 * @property {State} state
 * @property {Meter} meter
 * @property {Volts} volts
 * @property {Lamps} lamps
 * @property {LoadTest|null} loaded
 */

/** @typedef {ReadingSet & {loaded: LoadTest}} LoadTestSet */

/**
 * @typedef {object} Trip one press of TEST; null stands for what was not tested
 * @property {"button"|"external"} by
 * @property {"this"|"upstream"} device
 * @property {boolean|null} tripped
 * @property {boolean|null} faceDead
 * @property {boolean|null} reset
 * @property {number|null} milliseconds
 * @property {number|null} milliamps
 */

/**
 * @typedef {object} Check
 * @property {OutletType} outlet
 * @property {Source} supply
 * @property {Place} where
 * @property {number|null} breakerAmps
 * @property {number|null} hertz
 * @property {ReadingSet[]} sets the first as the outlet was found
 * @property {Record<string, "open"|"closed">} continuity
 * @property {Record<string, boolean>} detector
 * @property {Trip[]} trip
 * @property {boolean} hasNoButton whether a button was looked for and none found
 * @property {string[]} via adapters between the pedestal and the reading, from the pedestal on
 * @property {string[]|null} look null where nobody looked
 */
