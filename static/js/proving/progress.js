// How far a change is proved, from the rows of the phone. The Python twin is fieldlog/reports/proving.py.
import { pairsOf } from "../check/pairs.js";
import { changeState, keyOf, statesOf, stepsOf, touchedBy } from "../engine/proving.js";
import { dayOf } from "../lib/times.js";
import { mapOf } from "../rig/map-of.js";
import { rigsOf } from "../rig/rig-of.js";

/** @typedef {import("../engine/proving.js").Step} Step */
/** @typedef {import("../rig/rig-of.js").Noted} Noted */

/**
 * @typedef {object} Progress
 * @property {import("../rig/rig-of.js").Rig} rig
 * @property {Noted} change
 * @property {import("../rig/map-of.js").RigMap} map
 * @property {Map<string, Record<string, any>>} rules by id, in the order in which they are done
 * @property {Step[]} steps
 * @property {Map<string, string>} states by the steps' keys
 * @property {Map<string, Noted>} newest the newest proof of each step, by key
 * @property {"proved"|"failed"|"not-proved"} state
 */

/**
 * @param {import("../outbox/rows.js").Row[]} rows in order
 * @param {string} id of the change
 * @param {Record<string, any>[]} table its entries
 * @returns {Progress|null} null where the phone does not hold the change
 */
export function progressOf(rows, id, table) {
  const found = rigsOf(rows).map((rig) => ({ rig, change: rig.newest("change").find(({ ids }) => ids.includes(id)) }));
  const { rig, change } = found.find((each) => each.change) ?? {};
  if (!change) return null;
  const { map } = mapOf(rig);
  const proofs = rig.newest("proof", change).reverse();
  const told = proofs.map(({ body }) => ({ step: stepOf(body), outcome: body.outcome }));
  const steps = [...stepsOf(touchedBy(map, change.body.parts, pairsAt), table), ...chosen(told, table)];
  const states = statesOf(steps, told, table);
  const newest = new Map(proofs.map((proof) => [keyOf(stepOf(proof.body)), proof]));
  return { rig, change, map, rules: new Map(table.map((rule) => [rule.id, rule])), steps, states, newest, state: changeState(states) };
}

const pairsAt = ({ outlet_type: type }) => (type ? pairsOf(type) : []);
const stepOf = ({ step, part, pair }) => ({ rule: step, part, pair });

/** Steps that no change takes but that were noted all the same: a bad one fails it. */
function chosen(told, table) {
  const noted = told.filter(({ outcome }) => outcome !== null).map(({ step }) => step.rule);
  return table.filter(({ id, optional }) => optional && noted.includes(id)).map(({ id }) => ({ rule: id, part: null, pair: null }));
}

/** @param {Progress} progress @param {Step} step */
export const stateOf = ({ states }, step) => states.get(keyOf(step)) ?? "open";

/**
 * Finds the first step that has to stand before another is done: what it needs by its rule, and for what needs power,
 * all that is shown without.
 * @param {Progress} progress
 * @param {Step} step
 * @returns {Step|undefined} nothing where it may be done now
 */
export function missingFor(progress, step) {
  const { rules, steps } = progress;
  const { needs = [], when } = rules.get(step.rule);
  const isMissing = (other) => needs.includes(other.rule) && stateOf(progress, other) !== "good";
  const isUnsettled = (other) => when === "live" && rules.get(other.rule).when === "dead" && !["good", "skipped"].includes(stateOf(progress, other));
  return steps.find((other) => isMissing(other) || isUnsettled(other));
}

/** @param {Progress} progress @returns {Step|undefined} the first step that is neither good nor left out on purpose */
export function nextStep(progress) {
  return progress.steps.find((step) => !["good", "skipped"].includes(stateOf(progress, step)));
}

/** @param {Progress} progress @returns {string} the day of the last proof that counts */
export function provedOn({ steps, newest }) {
  return steps.map((step) => dayOf(newest.get(keyOf(step)).record.observed_at)).sort().at(-1);
}
