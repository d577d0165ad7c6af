// Made from schemas/facts/planning.json by deploy/javascript/kinds.mjs; not edited by hand.

/** An inlet of so many amperes has two hots; ANSI/NEMA WD 6. */
export const TWO_LEGS_FROM_AMPS = 50;

/** So much of a loop's ohms has the neutral; common practice. */
export const NEUTRAL_SHARE = 0.5;
