/** @type {[number, string][]} */
const STEPS = [
  [0.99, "almost certain"],
  [0.9, "very likely"],
  [0.66, "likely"],
  [0.33, "about as likely as not"],
  [0.1, "less likely"],
  [0, "unlikely, not impossible"],
];

/**
 * Says in words and as a number how sure an explanation is; never 100 % and never 0 %.
 * @param {number} probability
 * @returns {string}
 */
export function howSure(probability) {
  const [, words] = /** @type {[number, string]} */ (STEPS.find(([least]) => probability >= least));
  return `${words} (${percent(probability)})`;
}

/** @param {number} probability @returns {string} */
function percent(probability) {
  if (probability > 0.99) return "over 99 %";
  if (probability < 0.01) return "under 1 %";
  return `${Math.floor(probability * 100 + 0.5)} %`;
}
