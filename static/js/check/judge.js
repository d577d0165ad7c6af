import { checkInput, NotMeasured } from "../lib/measured.js";
import { EntryProblem } from "./entries.js";

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Check, Judgement } from "../../../schemas/shapes/record.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

/** @typedef {{answer: Assessed, failure?: undefined}|{failure: string, answer?: undefined}} Assessment */

const NOT_ON_THIS = "Do not use the outlet on the basis of this check. What you entered is kept.";

/**
 * Judges a check. Anything that goes wrong gives no verdict and a sentence, never a pass.
 * @param {() => Check} check gives it as recorded, measured values with unit
 * @param {Rulebook|null} rulebook
 * @param {(input: unknown, rulebook: Rulebook) => Assessed} assess
 * @returns {Assessment}
 */
export function judge(check, rulebook, assess) {
  if (!rulebook) return { failure: `The rulebook has not been loaded on this phone. ${NOT_ON_THIS}` };
  try {
    const answer = assess(checkInput(check()), rulebook);
    if (!rulebook.words.verdicts[answer.verdict] || answer.rulebook !== rulebook.id)
      throw new Error("The answer is not in the rulebook’s words.");
    return { answer };
  } catch (error) {
    if (error instanceof EntryProblem || error instanceof NotMeasured)
      console.warn(error); // what was entered or kept, not how it was judged
    else console.error(error);
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
 * @param {Assessed} answer
 * @returns {Judgement}
 */
export function judgementOf(answer) {
  return { verdict: answer.verdict, rulebook: answer.rulebook, first: answer.faults[0]?.id ?? null };
}

/** @param {Assessment} judged @returns {boolean} */
export function letsPlugIn(judged) {
  return ["use", "use-limited"].includes(judged.answer?.verdict ?? "");
}
