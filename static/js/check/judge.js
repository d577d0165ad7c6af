import { checkInput } from "../lib/measured.js";

/**
 * @typedef {{answer: Record<string, any>}|{failure: string}} Judged
 */

const NOT_ON_THIS = "Do not use the outlet on the basis of this check. What you entered is kept.";

/**
 * Judges a check. Anything that goes wrong gives no verdict and a sentence, never a pass.
 * @param {() => Record<string, any>} check gives it as recorded, measured values with unit
 * @param {Record<string, any>|null} rulebook
 * @param {(input: any, rulebook: any) => Record<string, any>} assess
 * @returns {Judged}
 */
export function judge(check, rulebook, assess) {
  if (!rulebook) return { failure: `The rulebook has not been loaded on this phone. ${NOT_ON_THIS}` };
  try {
    const answer = assess(checkInput(check()), rulebook);
    if (!rulebook.words.verdicts[answer.verdict] || answer.rulebook !== rulebook.id)
      throw new Error("The answer is not in the rulebook’s words.");
    return { answer };
  } catch (error) {
    console.error(error);
    return { failure: `${reason(error)} ${NOT_ON_THIS}` };
  }
}

/** @param {any} error @returns {string} */
function reason(error) {
  const problems = error?.problems;
  if (Array.isArray(problems) && problems.length) return problems.map(({ problem }) => problem).join(" ");
  return "The rules could not be applied: the rulebook may be damaged.";
}

/**
 * Says what the phone judged, as it is recorded.
 * @param {Record<string, any>} answer
 * @returns {{verdict: string, rulebook: string, first: string|null}}
 */
export function judgementOf(answer) {
  return { verdict: answer.verdict, rulebook: answer.rulebook, first: answer.faults[0]?.id ?? null };
}

/** @param {Judged} judged @returns {boolean} */
export function letsPlugIn(judged) {
  return ["use", "use-limited"].includes(judged.answer?.verdict);
}
