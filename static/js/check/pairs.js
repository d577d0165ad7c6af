// Which pairs of contacts are read at an outlet, in the order of the screens.

const THREE_WIRE = {
  pairs: ["h-n", "h-g", "n-g"],
  earth: ["h-e", "n-e", "g-e"],
  loaded: ["h-n", "h-g", "n-g"],
  across: ["h-n"],
};
const TWO_LEGS = {
  pairs: ["x-y", "x-n", "y-n", "x-g", "y-g", "n-g"],
  earth: ["x-e", "y-e", "n-e", "g-e"],
  loaded: ["x-y", "x-n", "y-n", "n-g"],
  across: ["x-n", "y-n", "x-y"],
};

/** The outlet whose two hot contacts are fed by two legs. */
export const FOUR_CONTACTS = "14-50";

/** @param {string|undefined} outlet @returns {boolean} */
export const hasTwoLegs = (outlet) => outlet === FOUR_CONTACTS;

const tableOf = (outlet) => (hasTwoLegs(outlet) ? TWO_LEGS : THREE_WIRE);

/**
 * @param {string|undefined} outlet
 * @returns {string[]} the pairs between its contacts; a lamp may sit between any of them
 */
export const pairsOf = (outlet) => tableOf(outlet).pairs;

/** @param {string|undefined} outlet @returns {string[]} each contact with an earth outside the outlet */
export const earthPairsOf = (outlet) => tableOf(outlet).earth;

/** @param {string|undefined} outlet @returns {string[]} the pairs that are read again under load */
export const loadedPairsOf = (outlet) => tableOf(outlet).loaded;

/** @param {string|undefined} outlet @returns {string[]} the pairs that a load may hang across */
export const acrossOf = (outlet) => tableOf(outlet).across;

/**
 * @param {string|undefined} outlet
 * @returns {string} what the fields of its lamps' names begin with: the tester of another outlet is another tester
 */
export const lampPrefix = (outlet) => (hasTwoLegs(outlet) ? "lamp4" : "lamp");
