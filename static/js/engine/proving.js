// How a change to the wiring is proved. The Python twin is fieldlog/model/proving.py; both are tested from
// tests/cases/proving.json. A step counts only where the steps that it needs stood good before; a step noted again
// takes back what was built on it. A step with power that decided something ends what was shown without; a bad one
// takes back every other step.

/** @typedef {{rule: string, part: string|null, pair: string|null}} Step */
/**
 * @typedef {{outlets: [string, string[]][], devices?: string[], sources?: string[], frames?: string[], inlets?:
 *   [string|null, string[]][]}} Touched
 */
/** @typedef {{step: Step, outcome: "good"|"bad"|null}} Proof */

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
  if (rule.for === "pair")
    return [...inlets, ...outlets].flatMap(([part, pairs]) => pairs.map((pair) => step(part, pair)));
  if (rule.for === "outlet")
    return [...outlets.map(([part]) => part), ...(rule.frames ? frames : [])].map((part) => step(part));
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
 * @param {Proof[]} proofs in the order in which they were noted; of those of other steps only that there was power
 *   counts
 * @param {Record<string, any>[]} rules
 * @returns {Map<string, string>} by the steps' keys, in their order
 */
export function statesOf(steps, proofs, rules) {
  return judged(steps, proofs, rules).states;
}

/**
 * Says whether the rig had power since the last step without it, so that what a step without power rests on has to be
 * shown anew.
 * @param {Step[]} steps
 * @param {Proof[]} proofs in the order in which they were noted
 * @param {Record<string, any>[]} rules
 */
export const hadPower = (steps, proofs, rules) => judged(steps, proofs, rules).isPowered;

function judged(steps, proofs, rules) {
  const needs = new Map(rules.map((rule) => [rule.id, rule.needs ?? []]));
  const when = new Map(rules.map((rule) => [rule.id, rule.when]));
  const states = new Map(steps.map((step) => [keyOf(step), "open"]));
  const rests = new Set(rules.filter((rule) => rule.when === "dead").flatMap(({ id }) => [...allNeeds(id, needs)]));
  let isPowered = false;
  for (const { step, outcome } of proofs) {
    const kind = when.get(step.rule);
    if (states.has(keyOf(step))) {
      const isDeadAgain = isPowered && kind === "dead";
      const isBadLive = kind === "live" && outcome === "bad";
      const isTaken = ({ rule }) =>
        allNeeds(rule, needs).has(step.rule) ||
        (isDeadAgain && rests.has(rule)) ||
        (isBadLive && ["dead", "live"].includes(when.get(rule)));
      takeBack(steps.filter(isTaken), states);
      states.set(keyOf(step), noted(step.rule, outcome, { steps, states, needs }));
      isPowered &&= !isDeadAgain;
    }
    isPowered ||= kind === "live" && outcome !== null;
  }
  return { states, isPowered };
}

function takeBack(steps, states) {
  for (const step of steps) if (states.get(keyOf(step)) !== "open") states.set(keyOf(step), "too-early");
}

/**
 * @param {Record<string, any>[]} rules
 * @param {string} id
 * @returns {Set<string>} the rules that a rule needs, and those that these need
 */
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
