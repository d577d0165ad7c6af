// How far a change is proved, from the rows of the phone. The Python twin is fieldlog/reports/proving.py.
import { changeState, hadPower, keyOf, restsOf, standingBy, statesOf } from "../engine/proving.js";
import { dayOf } from "../lib/times.js";
import { mapOf } from "./map-of.js";
import { momentOf, rigsOf } from "./rig-of.js";
import { touchedOf } from "./touched.js";

/** @import { BodyProof, BodyRigMap } from "../../../schemas/shapes/record.d.ts" */
/** @import { ProvingStep } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Proof, State, Step } from "../engine/proving.js" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { Chain, Rig } from "./rig-of.js" */

/**
 * @typedef {object} Progress
 * @property {Rig} rig
 * @property {Chain<"change">|null} change null where grounds are shown without one
 * @property {string} place what the address names beside the step
 * @property {BodyRigMap} map
 * @property {Map<string, ProvingStep>} rules by id, in the order in which they are done
 * @property {Step[]} steps
 * @property {Map<string, State>} states by the steps' keys
 * @property {Map<string, Chain<"proof">>} newest the newest proof of each step, by key
 * @property {"proved"|"failed"|"not-proved"} state
 * @property {boolean} hadPower whether the rig had power since the last step without it
 * @property {string} [olderList] the day from which the list was valid by which it is proved; none where it is today's
 * @property {number} failedAt when a step with power was last bad, in milliseconds; -Infinity where none was
 * @property {number} [now] in milliseconds, for what holds for a time only
 */

/**
 * @param {Row[]} rows in order
 * @param {string} id of the change
 * @param {ProvingStep[]} table its entries
 * @returns {Progress & {change: Chain<"change">}|null} null where the phone does not hold the change
 */
export function progressOf(rows, id, table) {
  const found = rigsOf(rows).map((each) => ({
    rig: each,
    change: each.newest("change").find(({ ids }) => ids.includes(id)),
  }));
  const { rig, change } = found.find((each) => each.change) ?? {};
  if (!rig || !change) return null;
  const { map } = mapOf(rig);
  const proofs = rig.newest("proof", change).reverse();
  const told = proofs.map(({ body, record }) => ({
    day: dayOf(record.observed_at),
    step: stepOf(body),
    outcome: body.outcome,
  }));
  const by = standingBy(touchedOf(rig, map, change), told, table);
  const rules = new Map(by.table.map((rule) => [rule.id, rule]));
  const failedAt = Math.max(
    -Infinity,
    ...proofs.filter(({ body }) => body.outcome === "bad" && rules.get(body.step)?.when === "live").map(momentOf),
  );
  const olderList = by.isNewest ? undefined : by.day;
  const standing = standingOf(by.steps, { proofs, told, table: by.table });
  return { rig, change, place: "", map, rules, failedAt, olderList, ...standing, state: by.state };
}

/**
 * Says how steps stand after what was noted.
 * @param {Step[]} steps
 * @param {{proofs: Chain<"proof">[], told: Proof[], table: ProvingStep[]}} noted told: what the proofs say, in order,
 *   and what else shows that there was power
 */
export function standingOf(steps, { proofs, told, table }) {
  const states = statesOf(steps, told, table);
  const newest = new Map(proofs.map((proof) => [keyOf(stepOf(proof.body)), proof]));
  return { steps, states, newest, state: changeState(states), hadPower: hadPower(steps, told, table) };
}

/** @param {Pick<BodyProof, "step"|"part"|"pair">} body of a proof @returns {Step} */
export const stepOf = ({ step, part, pair }) => ({ rule: step, part, pair });

/** Every step comes from the table. @param {Pick<Progress, "rules">} progress @param {Step} step */
export const ruleOf = ({ rules }, step) => /** @type {ProvingStep} */ (rules.get(step.rule));

/** @param {Progress} progress @param {Step} step */
export const stateOf = ({ states }, step) => states.get(keyOf(step)) ?? "open";

/**
 * Finds the first step that has to stand before another is done: what it rests on by its rule, shown since the rig
 * last had power and not too long ago; and for what needs power, all that is shown without.
 * @param {Progress} progress
 * @param {Step} step
 * @returns {Step|undefined} nothing where it may be done now
 */
export function missingFor(progress, step) {
  const { rules, steps } = progress;
  const when = rules.get(step.rule)?.when;
  const rests = restsOf([...rules.values()], step.rule, steps);
  /** @param {Step} other */
  const isOver = (other) => endedBy(progress, step) === "power" || isOld(progress, other);
  /** @param {Step} other */
  const isMissing = (other) => rests.has(other.rule) && (stateOf(progress, other) !== "good" || isOver(other));
  /** @param {Step} other */
  const isUnsettled = (other) =>
    when === "live" &&
    rules.get(other.rule)?.when === "dead" &&
    !["good", "skipped"].includes(stateOf(progress, other));
  const unanswered = [...rests].find((rule) => steps.every((other) => other.rule !== rule));
  return (
    steps.find((other) => isMissing(other) || isUnsettled(other)) ??
    (unanswered ? { rule: unanswered, part: null, pair: null } : undefined)
  );
}

/**
 * Says what ended that a step may rest on what stands good: power on the rig since, or the time.
 * @param {Progress} progress
 * @param {Step} step
 * @returns {"power"|"time"|null}
 */
export function endedBy(progress, step) {
  const { rules, steps } = progress;
  const rests = restsOf([...rules.values()], step.rule, steps);
  if (progress.hadPower && rests.size && rules.get(step.rule)?.when === "dead") return "power";
  return steps.some((other) => rests.has(other.rule) && isOld(progress, other)) ? "time" : null;
}

const MINUTE_MS = 60_000;

/** @param {Progress} progress @param {Step} step */
function isOld({ rules, newest, states, now }, step) {
  const holds = rules.get(step.rule)?.holds_minutes;
  const proof = newest.get(keyOf(step));
  if (!holds || !proof || now === undefined || states.get(keyOf(step)) !== "good") return false;
  return now - momentOf(proof) > holds * MINUTE_MS;
}

/** @param {Progress} progress @returns {Step|undefined} the first step that is neither good nor left out on purpose */
export function nextStep(progress) {
  return progress.steps.find((step) => !["good", "skipped"].includes(stateOf(progress, step)));
}

/** @param {Progress} progress @returns {string|undefined} the day of the last proof that counts */
export function provedOn({ steps, newest }) {
  return steps
    .flatMap((step) => newest.get(keyOf(step)) ?? [])
    .map(({ record }) => dayOf(record.observed_at))
    .sort()
    .at(-1);
}
