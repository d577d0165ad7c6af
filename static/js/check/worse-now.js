// What stands as usable and is judged worse by today's rules. The Python twin is fieldlog/reports/again.py; both are
// fed from tests/cases/judged-again.json.
import { VERDICTS } from "../lib/words.js";

const GRAVITY = Object.keys(VERDICTS); // the gravest last

/**
 * @param {string} said
 * @param {string|null} now what today's rules say; null where they cannot judge it, which is worse
 */
export const isWorse = (said, now) =>
  ["use", "use-limited"].includes(said) && (now === null || GRAVITY.indexOf(now) > GRAVITY.indexOf(said));
