// From what was typed or tapped at a step to the body of its proof, or to what is wrong with it.
import { isGood } from "../engine/proving.js";
import { readEntry } from "../lib/measured.js";
import { ruleOf } from "../rig/proving.js";
import { PROOF, SHOP } from "./ranges.js";
import { testFor } from "./tests.js";
import { namedAt } from "./words.js";

/** @import { Range } from "../lib/ranges.js" */
/** @import { BodyProof } from "../../../schemas/shapes/record.d.ts" */
/** @import { Good, ProvingStep } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Step } from "../engine/proving.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { StepEntries } from "./screens.js" */
/** @typedef {BodyProof["outcome"]} Outcome */
/** @typedef {ProvingStep & {good: Good, unit: "V"|"ohm"|"Mohm"}} ValueRule one that asks for a value */
/**
 * @typedef {{body: BodyProof, problems?: undefined}|{problems: Record<string, string>, body?: undefined}} NotingOutcome
 */

/** @param {Step} step @param {Partial<BodyProof>} members @returns {NotingOutcome} */
const body = ({ rule, part, pair }, members) => ({
  body: {
    step: rule,
    part,
    pair: /** @type {BodyProof["pair"]} */ (pair),
    outcome: null,
    value: null,
    unit: null,
    record: null,
    note: "",
    ...members,
  },
});
/** @param {string} name @param {string} problem @returns {NotingOutcome} */
const wrong = (name, problem) => ({ problems: { [name]: problem } });

/**
 * @param {Progress} progress
 * @param {Step} step
 * @param {{typed: StepEntries, outcome?: Outcome}} said outcome: what the button that was tapped means
 * @returns {NotingOutcome}
 */
export function noted(progress, step, { typed, outcome }) {
  const rule = ruleOf(progress, step);
  if (rule.record) return fromTest(progress, step);
  if (rule.optional) return fromShop(step, typed, outcome);
  const note = (typed.named ?? "").trim().slice(0, 500);
  const isMissing = Boolean(namedAt(progress, step)?.isNeeded) && !note;
  if (isMissing && (outcome === "good" || asksValue(rule)))
    return wrong("named", "Type it: it is kept with the proof.");
  return asksValue(rule) ? fromValue(rule, step, typed, note) : body(step, { outcome, note });
}

/** @param {ProvingStep} rule @returns {rule is ValueRule} */
export const asksValue = (rule) => Boolean(rule.good);

/**
 * The test as it is now; another device may have sent one meanwhile.
 * @param {Progress} progress
 * @param {Step} step
 * @returns {NotingOutcome}
 */
function fromTest(progress, step) {
  const { test, outcome } = testFor(progress, step);
  return outcome && test ? body(step, { outcome, record: test.record.id }) : { problems: {} };
}

/**
 * @param {ValueRule} rule
 * @param {Step} step
 * @param {StepEntries} typed
 * @param {string} note
 * @returns {NotingOutcome}
 */
function fromValue(rule, step, typed, note) {
  const read = readEntry(typed.value ?? "", /** @type {Range} */ (PROOF[rule.unit]));
  if (read.problem) return wrong("value", read.problem);
  return body(step, {
    outcome: isGood(rule, Number(read.number)) ? "good" : "bad",
    value: read.number,
    unit: rule.unit,
    note,
  });
}

/**
 * A meter that shows more than it can is beyond every limit: good where a least is asked for.
 * @param {ValueRule} rule
 * @param {Step} step
 * @returns {NotingOutcome}
 */
export function notedOver(rule, step) {
  return body(step, { outcome: isGood(rule, Infinity) ? "good" : "bad", note: "OL: more than the meter can show" });
}

/** @param {Step} step @param {StepEntries} typed @returns {NotingOutcome} */
export function notedSkip(step, typed) {
  const why = (typed.skip ?? "").trim();
  return why ? body(step, { note: why }) : wrong("skip", "Say why it is not tested; it is kept with the proofs.");
}

/** @param {Step} step @param {StepEntries} typed @param {Outcome} [outcome] @returns {NotingOutcome} */
function fromShop(step, typed, outcome) {
  const [who, more] = [typed.who, typed.more].map((text) => (text ?? "").trim());
  if (!who) return wrong("who", "Name who made the test.");
  const volts = readEntry(typed.value ?? "", /** @type {Range} */ (SHOP.volts));
  if (volts.problem) return wrong("value", volts.problem);
  const seconds = readEntry(typed.seconds ?? "", /** @type {Range} */ (SHOP.seconds));
  if (seconds.problem) return wrong("seconds", "Type the seconds as a number, such as 60.");
  return body(step, {
    outcome,
    value: volts.number,
    unit: "V",
    note: [`By ${who}`, `${seconds.number} s`, more].filter(Boolean).join("; ").slice(0, 500),
  });
}
