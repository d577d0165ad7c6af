// Made from schemas/book/contacts.json by deploy/javascript/contacts.mjs; not edited by hand.

/** What is read at an outlet with one hot contact. */
export const THREE_WIRE = {
  usual: ["h-n", "h-g", "n-g"],
  to_earth: ["h-e", "n-e", "g-e"],
  loaded: ["h-n", "h-g", "n-g"],
  acrosses: ["h-n"],
};
/** What is read at one with two. */
export const SPLIT_PHASE = {
  usual: ["x-y", "x-n", "y-n", "x-g", "y-g", "n-g"],
  to_earth: ["x-e", "y-e", "n-e", "g-e"],
  loaded: ["x-y", "x-n", "y-n", "n-g"],
  acrosses: ["x-n", "y-n", "x-y"],
};
/** The outlet whose two hot contacts are fed by two legs. */
export const FOUR_CONTACTS = "14-50";
/** Rating of an outlet by its configuration [A]; ANSI/NEMA WD 6. */
export const OUTLET_AMPS = { "5-15": 15, "5-20": 20, "TT-30": 30, "14-50": 50 };
