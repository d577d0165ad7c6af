// How a change to the wiring is proved. The Python twin is fieldlog/model/proving.py; both are tested from
// tests/cases/proving.json. A step counts only where the steps that it needs stood good before; a step noted again
// takes back what was built on it. A step with power that decided something ends what was shown without, and the
// power-up is done anew after it; a bad one takes back every other step. The steps form lists, each valid from a day:
// what was proved by an older one stays proved by it, all else goes by the newest.

/** @import { Good, ProvingStep } from "../../../schemas/shapes/rig-rules.d.ts" */

/** @typedef {{rule: string, part: string|null, pair: string|null}} Step */
/**
 * @typedef {object} ChangeScope the parts that a change touches, those that are probed with their pairs of contacts
 * @property {[string, string[]][]} outlets
 * @property {string[]} [devices]
 * @property {string[]} [sources]
 * @property {string[]} [frames]
 * @property {[string|null, string[]][]} [inlets]
 * @property {[string, string[]][]} [outputs] what can feed the wiring from within
 * @property {string[]|null} [relays] null where the rig has no drawing that would tell
 * @property {string[]} [branches] breakers with no other breaker beyond them
 */
/** @typedef {{step: Step, outcome: "good"|"bad"|null}} Proof */
/** @typedef {"open"|"good"|"bad"|"skipped"|"too-early"} State */
/** @typedef {Map<string, State>} States by the keys of steps */
/** @typedef {Map<string, string[]>} Needs by rule */

/** @param {Step} step @returns {string} one text for one step */
export const keyOf = ({ rule, part, pair }) => [rule, part ?? "", pair ?? ""].join("|");

/** @typedef {Proof & {day: string}} ProofOfDay a proof with the day on which it was noted */

/** @param {ProvingStep[]} rules all entries @returns {string[]} the days on which a list began, oldest first */
export const listDays = (rules) =>
  [...new Set(rules.flatMap(({ valid_from, until }) => (until ? [valid_from, until] : [valid_from])))].sort();

/**
 * Gives the list that began on a day: what is valid then, with the needs that it holds.
 * @param {ProvingStep[]} rules all entries
 * @param {string|undefined} day one of their days
 * @returns {ProvingStep[]}
 */
export function listed(rules, day = "") {
  const valid = rules.filter(({ valid_from, until }) => valid_from <= day && !(until && until <= day));
  const ids = new Set(valid.map(({ id }) => id));
  return valid.map((rule) => (rule.needs ? { ...rule, needs: rule.needs.filter((need) => ids.has(need)) } : rule));
}

/** @param {ProvingStep[]} rules all entries @returns {ProvingStep[]} */
export const newestList = (rules) => listed(rules, listDays(rules).at(-1));

/**
 * Says by which list the steps of a change stand, and how: by the newest, or by the one under which it was proved.
 * @param {ChangeScope} touched
 * @param {ProofOfDay[]} proofs in the order in which they were noted
 * @param {ProvingStep[]} rules all entries
 */
export function standingBy(touched, proofs, rules) {
  const days = listDays(rules);
  const newest =
    proofs
      .map(({ day }) => day)
      .sort()
      .at(-1) ?? "";
  const found = days.flatMap((day, i) => {
    const ended = days[i + 1];
    if (ended !== undefined && newest >= ended) return [];
    const table = listed(rules, day);
    const steps = [...stepsOf(touched, table), ...chosen(proofs, table)];
    const states = statesOf(steps, proofs, table);
    return [{ day, isNewest: ended === undefined, table, steps, states, state: changeState(states) }];
  });
  found.reverse();
  const today = /** @type {Standing} */ (found[0]);
  // A step that was bad by an older list fails the change until something is noted by the newest.
  const isFailed = found.some(({ state }) => state === "failed");
  return found.find(({ state }) => state === "proved") ?? (isFailed ? { ...today, state: "failed" } : today);
}

/**
 * @typedef {object} Standing
 * @property {string} day of the list
 * @property {boolean} isNewest
 * @property {ProvingStep[]} table
 * @property {Step[]} steps
 * @property {States} states
 * @property {"proved"|"failed"|"not-proved"} state
 */

/**
 * Steps that no change takes but that were noted all the same: a bad one fails it.
 * @param {Proof[]} told
 * @param {ProvingStep[]} table
 * @returns {Step[]}
 */
function chosen(told, table) {
  const decided = told.filter(({ outcome }) => outcome !== null).map(({ step }) => step.rule);
  return table
    .filter(({ id, optional }) => optional && decided.includes(id))
    .map(({ id }) => ({ rule: id, part: null, pair: null }));
}

/**
 * Gives every step that a change takes, each once, in the order in which they are done.
 * @param {ChangeScope} touched
 * @param {ProvingStep[]} rules
 * @returns {Step[]}
 */
export function stepsOf(touched, rules) {
  const steps = rules.filter((rule) => !rule.optional).flatMap((rule) => expand(rule, touched));
  return [...new Map(steps.map((step) => [keyOf(step), step])).values()];
}

/** @param {ProvingStep} rule @param {ChangeScope} touched @returns {Step[]} */
function expand(rule, touched) {
  const { outlets, devices = [], sources = [], frames = [], inlets = [], outputs = [] } = touched;
  const { relays = null, branches = [] } = touched;
  /** @param {string|null} [part] @param {string|null} [pair] */
  const step = (part = null, pair = null) => ({ rule: rule.id, part, pair });
  if (rule.for === "once") return [step()];
  if (rule.for === "source") return (sources.length ? sources : [null]).map((part) => step(part));
  if (rule.for === "relay") return (relays ?? [null]).map((part) => step(part));
  if (rule.for === "branch") return (branches.length ? branches : [null]).map((part) => step(part));
  if (rule.for === "pair")
    return [...inlets, ...(rule.outputs ? outputs : []), ...(rule.inlet_only ? [] : outlets)].flatMap(([part, pairs]) =>
      pairs.filter((pair) => rule.contacts?.includes(pair) ?? true).map((pair) => step(part, pair)),
    );
  if (rule.for === "outlet")
    return [...outlets.map(([part]) => part), ...(rule.frames ? frames : [])].map((part) => step(part));
  if (rule.for === "device") return devices.map((part) => step(part));
  throw new Error(`The step ${rule.id} is for ${rule.for}, which is not known here.`);
}

/** @param {{good: Good}} rule @param {number} value in the rule's unit @returns {boolean} */
export function isGood({ good }, value) {
  if ("below" in good) return value < good.below;
  return "at_most" in good ? value <= good.at_most : value >= good.at_least;
}

/**
 * Says how each step stands after what was noted: open, good, bad, skipped or too-early.
 * @param {Step[]} steps
 * @param {Proof[]} proofs in the order in which they were noted; of those of other steps only that there was power
 *   counts
 * @param {ProvingStep[]} rules
 * @returns {States} by the steps' keys, in their order
 */
export function statesOf(steps, proofs, rules) {
  return judged(steps, proofs, rules).states;
}

/**
 * Says whether the rig had power since the last step without it, so that what a step without power rests on has to be
 * shown anew.
 * @param {Step[]} steps
 * @param {Proof[]} proofs in the order in which they were noted
 * @param {ProvingStep[]} rules
 */
export const hadPower = (steps, proofs, rules) => judged(steps, proofs, rules).isPowered;

/** @param {Step[]} steps @param {Proof[]} proofs @param {ProvingStep[]} rules */
function judged(steps, proofs, rules) {
  const needs = needsOf(rules, steps);
  const powerUp = new Set(rules.filter((rule) => rule.power_up).map(({ id }) => id));
  const when = new Map(rules.map((rule) => [rule.id, rule.when]));
  const states = new Map(steps.map((step) => [keyOf(step), /** @type {State} */ ("open")]));
  const rests = new Set(rules.filter((rule) => rule.when === "dead").flatMap(({ id }) => [...allNeeds(id, needs)]));
  /** @type {boolean} */
  let isPowered = false;
  for (const { step, outcome } of proofs) {
    const kind = when.get(step.rule);
    if (states.has(keyOf(step))) {
      /** @type {boolean} */
      const isDeadAgain = isPowered && kind === "dead";
      const isBadLive = kind === "live" && outcome === "bad";
      /** @param {Step} step */
      const isTaken = ({ rule }) =>
        allNeeds(rule, needs).has(step.rule) ||
        (isDeadAgain && (rests.has(rule) || powerUp.has(rule))) ||
        (isBadLive && /** @type {(string|undefined)[]} */ (["dead", "live"]).includes(when.get(rule)));
      takeBack(steps.filter(isTaken), states);
      states.set(keyOf(step), noted(step.rule, outcome, { steps, states, needs }));
      isPowered &&= !isDeadAgain;
    }
    isPowered ||= kind === "live" && outcome !== null;
  }
  return { states, isPowered };
}

/** @param {Step[]} steps @param {States} states */
function takeBack(steps, states) {
  for (const step of steps) if (states.get(keyOf(step)) !== "open") states.set(keyOf(step), "too-early");
}

/**
 * @param {ProvingStep[]} rules
 * @param {string} id
 * @param {Step[]} steps that are taken
 * @returns {Set<string>} the rules that a rule needs, and those that these need
 */
export const restsOf = (rules, id, steps) => allNeeds(id, needsOf(rules, steps));

/**
 * What is for outlets, devices or relays is needed only where there are any.
 * @param {ProvingStep[]} rules
 * @param {Step[]} steps
 * @returns {Needs}
 */
function needsOf(rules, steps) {
  const taken = new Set(steps.map(({ rule }) => rule));
  const vacant = rules.filter((rule) => ["outlet", "device", "relay"].includes(rule.for) && !taken.has(rule.id));
  const ids = new Set(vacant.map(({ id }) => id));
  return new Map(rules.map((rule) => [rule.id, (rule.needs ?? []).filter((need) => !ids.has(need))]));
}

/** @param {string} rule @param {Needs} needs @returns {Set<string>} */
function allNeeds(rule, needs) {
  const found = new Set();
  const waiting = [...(needs.get(rule) ?? [])];
  while (waiting.length) {
    const one = /** @type {string} */ (waiting.pop());
    if (found.has(one)) continue;
    found.add(one);
    waiting.push(...(needs.get(one) ?? []));
  }
  return found;
}

/**
 * @param {string} rule
 * @param {Proof["outcome"]} outcome
 * @param {{steps: Step[], states: States, needs: Needs}} known
 * @returns {State}
 */
function noted(rule, outcome, { steps, states, needs }) {
  if (outcome === null) return "skipped";
  if (outcome !== "good") return "bad";
  /** @param {string} need */
  const isShown = (need) => {
    const own = steps.filter((step) => step.rule === need);
    return own.length > 0 && own.every((step) => states.get(keyOf(step)) === "good");
  };
  return (needs.get(rule) ?? []).every(isShown) ? "good" : "too-early";
}

/** @param {States} states @returns {"proved"|"failed"|"not-proved"} */
export function changeState(states) {
  const found = [...states.values()];
  if (found.includes("bad")) return "failed";
  return found.length && found.every((state) => state === "good") ? "proved" : "not-proved";
}
