// How a change to the wiring is proved. The Python twin is fieldlog/model/proving.py; both are tested from tests/cases/proving.json.
// A step counts only where the steps that it needs stood good before; a step noted again takes back what was built on it.

import { protect } from "./protect.js";

/** @typedef {{rule: string, part: string|null, pair: string|null}} Step */
/** @typedef {{outlets: [string, string[]][], devices: string[], sources: string[]}} Touched */

/** @param {Step} step @returns {string} one text for one step */
export const keyOf = ({ rule, part, pair }) => [rule, part ?? "", pair ?? ""].join("|");

/**
 * Gives every step that a change takes, in the order in which they are done.
 * @param {Touched} touched
 * @param {Record<string, any>[]} rules
 * @returns {Step[]}
 */
export function stepsOf(touched, rules) {
  return rules.filter((rule) => !rule.optional).flatMap((rule) => expand(rule, touched));
}

function expand(rule, { outlets, devices, sources }) {
  const step = (part = null, pair = null) => ({ rule: rule.id, part, pair });
  if (rule.for === "once") return [step()];
  if (rule.for === "source") return sources.map((part) => step(part));
  if (rule.for === "pair") return outlets.flatMap(([part, pairs]) => pairs.map((pair) => step(part, pair)));
  if (rule.for === "outlet") return outlets.map(([part]) => step(part));
  if (rule.for === "device") return devices.map((part) => step(part));
  throw new Error(`The step ${rule.id} is for ${rule.for}, which is not known here.`);
}

/** @param {Record<string, any>} rule @param {number} value in the rule's unit @returns {boolean} */
export function isGood({ good }, value) {
  if ("below" in good) return value < good.below;
  return "at_most" in good ? value <= good.at_most : value >= good.at_least;
}

/**
 * Says how each step stands after what was noted: open, good, bad, skipped or too-early.
 * @param {Step[]} steps
 * @param {{step: Step, outcome: "good"|"bad"|null}[]} proofs in the order in which they were noted
 * @param {Record<string, any>[]} rules
 * @returns {Map<string, string>} by the steps' keys, in their order
 */
export function statesOf(steps, proofs, rules) {
  const needs = new Map(rules.map((rule) => [rule.id, rule.needs ?? []]));
  const states = new Map(steps.map((step) => [keyOf(step), "open"]));
  for (const { step, outcome } of proofs) {
    if (!states.has(keyOf(step))) continue;
    takeBack(step.rule, steps, states, needs);
    states.set(keyOf(step), noted(step.rule, outcome, { steps, states, needs }));
  }
  return states;
}

function takeBack(rule, steps, states, needs) {
  const built = steps.filter((step) => allNeeds(step.rule, needs).has(rule) && states.get(keyOf(step)) !== "open");
  for (const step of built) states.set(keyOf(step), "too-early");
}

function allNeeds(rule, needs) {
  const found = new Set();
  const waiting = [...(needs.get(rule) ?? [])];
  while (waiting.length) {
    const one = waiting.pop();
    if (found.has(one)) continue;
    found.add(one);
    waiting.push(...(needs.get(one) ?? []));
  }
  return found;
}

function noted(rule, outcome, { steps, states, needs }) {
  if (outcome === null) return "skipped";
  if (outcome !== "good") return "bad";
  const isBuilt = steps.every((step) => !needs.get(rule)?.includes(step.rule) || states.get(keyOf(step)) === "good");
  return isBuilt ? "good" : "too-early";
}

/** @param {Map<string, string>} states @returns {"proved"|"failed"|"not-proved"} */
export function changeState(states) {
  const found = [...states.values()];
  if (found.includes("bad")) return "failed";
  return found.length && found.every((state) => state === "good") ? "proved" : "not-proved";
}

/**
 * Gives what has to be proved after a change: the parts, all that hangs on them in any mode, and what guards that.
 * @param {{parts: Record<string, any>[], runs: Record<string, any>[], modes?: Record<string, any>}} map as it is after the change
 * @param {string[]} parts
 * @param {(part: Record<string, any>) => string[]} pairsOf the pairs of contacts of a part, none where it cannot be probed
 * @returns {Touched} in the order of the map
 */
export function touchedBy(map, parts, pairsOf) {
  const below = new Set(map.parts.map(({ id }) => id).filter((id) => parts.includes(id)));
  for (const start of below) for (const { from, to } of map.runs) if (from === start) below.add(to);
  const outlets = map.parts.filter((part) => below.has(part.id) && pairsOf(part).length);
  const guards = new Set(Object.values(protect(map)).flatMap((found) => Object.entries(found.guards).flatMap(([id, by]) => (below.has(id) ? by : []))));
  const isGuard = ({ kind, gfci }) => ["gfci-receptacle", "cord-gfci"].includes(kind) || (kind === "breaker" && Boolean(gfci));
  return {
    outlets: outlets.map((part) => [part.id, pairsOf(part)]),
    devices: map.parts.filter((part) => isGuard(part) && (below.has(part.id) || guards.has(part.id))).map(({ id }) => id),
    sources: map.parts.filter(({ kind }) => kind === "inverter").map(({ id }) => id),
  };
}
