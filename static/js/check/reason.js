// Why a verdict is what it is, in a sentence or two, from the gravest finding or the first explanation.
// The Python twin is fieldlog/reports/reasons.py; both are tested from tests/cases/reasons.json.
import { STANDS_FROM } from "../lib/shown.js";
import { PAIRS } from "../lib/words.js";
import { wordsOf } from "./family.js";
import { capital, figure, firstSentence, gravestOf, quantityOf, sentenceOf } from "./findings.js";

/** @import { Assessed, Finding } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

/** Explanations that say nothing against an outlet: what stands for them is in the findings. */
const RIGHT = "correct";

/**
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {{outlet: string, notTested: string[]}} about
 * @returns {string} empty where an outlet may be used and nothing else was found
 */
export function reasonOf(answer, rulebook, about) {
  const [first] = answer.faults;
  const gravest = gravestOf(answer);
  const cause = first && first.id !== RIGHT ? causeOf(first.id, rulebook, about.outlet) : "";
  const said = [cause, gravest ? foundOf(gravest, rulebook) : ""].filter(Boolean).join(" ");
  return said || (answer.verdict === "test-more" ? openOf(answer, rulebook, about) : "");
}

/** @param {string} id @param {Rulebook} rulebook @param {string} outlet */
function causeOf(id, rulebook, outlet) {
  const { name, sentence } = wordsOf(rulebook, outlet, "explanations", id);
  return id === "other" && sentence ? sentence : `${name ?? id}.`;
}

/**
 * The figure beside its limit, then the first sentence of what is said of it.
 * @param {Finding} finding
 * @param {Rulebook} rulebook
 */
function foundOf(finding, rulebook) {
  return [beyond(finding, rulebook), firstSentence(sentenceOf(finding, rulebook))].filter(Boolean).join(" ");
}

/** @param {Finding} finding @param {Rulebook} rulebook @returns {string} such as “Hot–neutral: 102 V is too low; …” */
function beyond({ quantity, value, limit, level, straddles }, rulebook) {
  if (typeof value !== "number" || typeof limit !== "number") return "";
  const { label, unit } = quantityOf(quantity, rulebook);
  const isLow = straddles ? value > limit : value < limit;
  const how = `${level === "stop" ? "too " : ""}${isLow ? "low" : "high"}`;
  const is = straddles ? `may be ${how}, by the meter’s error` : `is ${how}`;
  return `${label ? `${capital(label)}: ` : ""}${figure(value, unit)} ${unit} ${is}; the limit is ${figure(
    limit,
    unit,
  )} ${unit}.`.replaceAll(" ;", ";");
}

/**
 * What keeps an answer open where nothing was found: what was not read, or what may be so as well.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {{outlet: string, notTested: string[]}} about
 */
function openOf({ faults, findings }, rulebook, { outlet, notTested }) {
  const doubts = faults.slice(1).filter(({ id, probability }) => id !== RIGHT && probability >= STANDS_FROM);
  const unread = notTested.flatMap((step) => (/^(?:volts|lamps)\./.test(step) ? [step.split(".")[1] ?? ""] : []));
  const pairs = [...new Set(unread)].map((pair) => PAIRS[pair] ?? pair);
  if (pairs.length) return `Not read: ${pairs.join(", ")}.`;
  if (doubts[0]) return `It may also be: ${wordsOf(rulebook, outlet, "explanations", doubts[0].id).name ?? "another"}.`;
  return findings[0] ? firstSentence(sentenceOf(findings[0], rulebook)) : "";
}
