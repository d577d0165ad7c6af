// How a change to the wiring is proved. The Python twin is fieldlog/model/proving.py; both are tested from tests/cases/proving.json.
// A step counts only where the steps that it needs stood good before; a step noted again takes back what was built on it.
// A step with power that decided something ends what was shown without; a bad one takes back every other step.

import { protect } from "./protect.js";

/** @typedef {{rule: string, part: string|null, pair: string|null}} Step */
/** @typedef {{outlets: [string, string[]][], devices?: string[], sources?: string[], frames?: string[], inlets?: [string|null, string[]][]}} Touched */
/** @typedef {{step: Step, outcome: "good"|"bad"|null}} Proof */

const THREE_CONTACTS = ["h-n", "h-g", "n-g"];
const TWO_LEGS = ["x-y", "x-n", "y-n", "x-g", "y-g", "n-g"];
/** Rating of the inlet of a 14-50 [A]; ANSI/NEMA WD 6. The others have three contacts. */
const INLET_WITH_TWO_LEGS = 50;

/** @param {Step} step @returns {string} one text for one step */
export const keyOf = ({ rule, part, pair }) => [rule, part ?? "", pair ?? ""].join("|");

/**
 * Gives every step that a change takes, each once, in the order in which they are done.
 * @param {Touched} touched
 * @param {Record<string, any>[]} rules
 * @returns {Step[]}
 */
export function stepsOf(touched, rules) {
  const steps = rules.filter((rule) => !rule.optional).flatMap((rule) => expand(rule, touched));
  return [...new Map(steps.map((step) => [keyOf(step), step])).values()];
}

function expand(rule, { outlets, devices = [], sources = [], frames = [], inlets = [] }) {
  const step = (part = null, pair = null) => ({ rule: rule.id, part, pair });
  if (rule.for === "once") return [step()];
  if (rule.for === "source") return (sources.length ? sources : [null]).map((part) => step(part));
  if (rule.for === "pair") return [...inlets, ...outlets].flatMap(([part, pairs]) => pairs.map((pair) => step(part, pair)));
  if (rule.for === "outlet") return [...outlets.map(([part]) => part), ...(rule.frames ? frames : [])].map((part) => step(part));
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
 * @param {Proof[]} proofs in the order in which they were noted; of those of other steps only that there was power counts
 * @param {Record<string, any>[]} rules
 * @returns {Map<string, string>} by the steps' keys, in their order
 */
export function statesOf(steps, proofs, rules) {
  return judged(steps, proofs, rules).states;
}

/**
 * Says whether the rig had power since the last step without it, so that what a step without power rests on has to be shown anew.
 * @param {Step[]} steps
 * @param {Proof[]} proofs in the order in which they were noted
 * @param {Record<string, any>[]} rules
 */
export const hadPower = (steps, proofs, rules) => judged(steps, proofs, rules).hadPower;

function judged(steps, proofs, rules) {
  const needs = new Map(rules.map((rule) => [rule.id, rule.needs ?? []]));
  const when = new Map(rules.map((rule) => [rule.id, rule.when]));
  const states = new Map(steps.map((step) => [keyOf(step), "open"]));
  const rests = new Set(rules.filter((rule) => rule.when === "dead").flatMap(({ id }) => [...allNeeds(id, needs)]));
  let hadPower = false;
  for (const { step, outcome } of proofs) {
    const kind = when.get(step.rule);
    if (states.has(keyOf(step))) {
      const isDeadAgain = hadPower && kind === "dead";
      const isBadLive = kind === "live" && outcome === "bad";
      const isTaken = ({ rule }) => allNeeds(rule, needs).has(step.rule) || (isDeadAgain && rests.has(rule)) || (isBadLive && ["dead", "live"].includes(when.get(rule)));
      takeBack(steps.filter(isTaken), states);
      states.set(keyOf(step), noted(step.rule, outcome, { steps, states, needs }));
      hadPower &&= !isDeadAgain;
    }
    hadPower ||= kind === "live" && outcome !== null;
  }
  return { states, hadPower };
}

function takeBack(steps, states) {
  for (const step of steps) if (states.get(keyOf(step)) !== "open") states.set(keyOf(step), "too-early");
}

/** @param {Record<string, any>[]} rules @param {string} id @returns {Set<string>} the rules that a rule needs, and those that these need */
export const restsOf = (rules, id) => allNeeds(id, new Map(rules.map((rule) => [rule.id, rule.needs ?? []])));

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
  const isShown = (need) => {
    const own = steps.filter((step) => step.rule === need);
    return own.length > 0 && own.every((step) => states.get(keyOf(step)) === "good");
  };
  return (needs.get(rule) ?? []).every(isShown) ? "good" : "too-early";
}

/** @param {Map<string, string>} states @returns {"proved"|"failed"|"not-proved"} */
export function changeState(states) {
  const found = [...states.values()];
  if (found.includes("bad")) return "failed";
  return found.length && found.every((state) => state === "good") ? "proved" : "not-proved";
}

/**
 * Gives what has to be proved after a change: the parts, all that hangs on them in any mode or hung on them since before
 * the change, and what guards that; a change may take a part out, or feed what hung on it from elsewhere.
 * @param {{parts: Record<string, any>[], runs: Record<string, any>[], modes?: Record<string, any>}} map as it is after the change
 * @param {string[]} parts
 * @param {(part: Record<string, any>) => string[]} pairsOf the pairs of contacts of a part, none where it cannot be probed
 * @param {{from: string, to: string}[][]} [earlier] the runs of each version of the map from the one before the change on
 * @returns {Touched} in the order of the map
 */
export function touchedBy(map, parts, pairsOf, earlier = []) {
  const once = new Set([...parts, ...earlier.flatMap((runs) => [...belowOf(runs, parts)])]);
  const below = belowOf(map.runs, map.parts.map(({ id }) => id).filter((id) => once.has(id)));
  const outlets = map.parts.filter((part) => below.has(part.id) && pairsOf(part).length);
  const guards = new Set(Object.values(protect(map)).flatMap((found) => Object.entries(found.guards).flatMap(([id, by]) => (below.has(id) ? by : []))));
  const isGuard = ({ kind, gfci }) => ["gfci-receptacle", "cord-gfci"].includes(kind) || (kind === "breaker" && Boolean(gfci));
  return {
    outlets: outlets.map((part) => [part.id, pairsOf(part)]),
    devices: map.parts.filter((part) => isGuard(part) && (below.has(part.id) || guards.has(part.id))).map(({ id }) => id),
    sources: map.parts.filter(({ kind }) => kind === "inverter").map(({ id }) => id),
    frames: map.parts.filter(({ id, kind }) => kind === "appliance" && below.has(id)).map(({ id }) => id),
    inlets: inletsOf(map, pairsOf),
  };
}

function belowOf(runs, parts) {
  const below = new Set(parts);
  for (const start of below) for (const { from, to } of runs) if (from === start) below.add(to);
  return below;
}

/** One without an id where the map has none, since a cord enters somewhere. */
function inletsOf({ parts }, pairsOf) {
  const usual = ({ amps }) => (amps === INLET_WITH_TWO_LEGS ? TWO_LEGS : THREE_CONTACTS);
  const inlets = parts.filter(({ kind }) => kind === "inlet");
  const found = inlets.map((part) => [part.id, pairsOf(part).length ? pairsOf(part) : usual(part)]);
  return found.length ? found : [[null, THREE_CONTACTS]];
}
