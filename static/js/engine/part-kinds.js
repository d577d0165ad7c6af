// Made from schemas/facts/kinds.json and the book by deploy/javascript/part-kinds.mjs; not edited by hand.

/**
 * What something is plugged into.
 * @type {(string|undefined)[]}
 */
export const PLUGS = ["receptacle", "gfci-receptacle", "strip"];

/**
 * What a person can touch or plug into; a guard is asked for these.
 * @type {(string|undefined)[]}
 */
export const OUTLETS = ["receptacle", "gfci-receptacle", "strip", "appliance"];

/**
 * What opens by its own device when it trips.
 * @type {(string|undefined)[]}
 */
export const TRIPPING = ["cord-gfci", "breaker", "gfci-receptacle"];

/**
 * Devices on which a run may leave from either side; beyond a breaker everything is on its load side.
 * @type {(string|undefined)[]}
 */
export const TWO_SIDED = ["cord-gfci", "gfci-receptacle"];

/**
 * Of cords, thinnest first [AWG].
 * @type {number[]}
 */
export const CORD_GAUGES = [18, 16, 14, 12, 10, 8, 6];
