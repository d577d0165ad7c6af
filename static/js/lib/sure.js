import { HOW_SURE } from "./shown.js";

/**
 * Says in words and as a number how sure an explanation is; never 100 % and never 0 %.
 * @param {number} probability
 * @returns {string}
 */
export function howSure(probability) {
  const words = /** @type {[number, string]} */ (HOW_SURE.find(([least]) => probability >= least))[1];
  return `${words} (${percent(probability)})`;
}

/** @param {number} probability @returns {string} */
function percent(probability) {
  if (probability > 0.99) return "over 99 %";
  if (probability < 0.01) return "under 1 %";
  return `${Math.floor(probability * 100 + 0.5)} %`;
}
