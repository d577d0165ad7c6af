// From what is known and told to a plan: what is asked of the engine, and what it answers.
import { legVolts, plan } from "../engine/plan.js";
import { branchesOf, mainOf } from "./map-loads.js";
import { LOAD } from "./ranges.js";
import { numberOf } from "./state.js";

/** @import { Plan } from "../engine/plan.js" */
/** @import { PlannedLoad, Tables } from "../engine/plan-circuit.js" */
/** @import { MapBranches, Place, Rating, RigBranch } from "./map-loads.js" */
/** @import { Cord, LoadEntry, RigEntries } from "./state.js" */
/** @import { Supply } from "./supply.js" */

/**
 * @typedef {object} Item a load as the page shows it
 * @property {string} id
 * @property {string} name its own, unlike all others
 * @property {boolean} isAdded whether it hangs on no map
 * @property {string} at the part it is plugged into, or ""
 * @property {number|null} watts null where they are not noted
 * @property {LoadEntry} told
 * @property {boolean} isContinuous as the map says
 * @property {Pick<Place, "from"|"leg"|"rated"|"guards">} hung
 * @property {boolean} isOn
 *
 * @typedef {object} PlanQuestion
 * @property {Supply} supply
 * @property {Cord[]} cords
 * @property {number|null} limitAmps of the rig's main breaker
 * @property {Item[]} items that the supply feeds and whose watts are noted
 *
 * @typedef {object} Answer
 * @property {ReturnType<typeof plan>} now with what is switched on
 * @property {ReturnType<typeof plan>} all with everything
 * @property {Plan} asked of what is switched on
 * @property {[number, number][]|null} ranges of the volts at the rig, leg by leg, least and most [V]
 * @property {Item[]} on
 * @property {Item[]} off what to switch off first
 * @property {Item[][]} sets which run together
 */

const NOWHERE = { from: /** @type {const} */ ("inlet"), leg: null, rated: [], guards: [] };

/**
 * All loads of a rig: those of its map, then those that were added. No two have one name.
 * @param {MapBranches} hung
 * @param {RigEntries} own
 * @returns {Item[]}
 */
export function itemsOf({ loads, places }, { loads: told, added, off }) {
  const byPlace = new Map(places.map((place) => [place.id, place]));
  const ofMap = loads.map((load) => ({
    ...{ id: load.id, name: load.name, isAdded: false, at: "", isContinuous: load.isContinuous },
    watts: load.watts,
    hung: load,
  }));
  const others = added.map(({ id, name, at }) => ({
    ...{ id, name, isAdded: true, at, isContinuous: false, watts: null },
    hung: byPlace.get(at) ?? NOWHERE,
  }));
  const seen = new Map();
  return [...ofMap, ...others].map((item) => {
    const count = (seen.get(item.name) ?? 0) + 1;
    seen.set(item.name, count);
    const own = told[item.id] ?? {};
    return {
      ...item,
      name: count > 1 ? `${item.name} (${count})` : item.name,
      watts: numberOf(own.watts, LOAD.watts) ?? item.watts,
      told: own,
      isOn: !off.includes(item.id),
    };
  });
}

/**
 * A kind that is not noted counts as the one that asks more at these volts.
 * @param {Item} item
 * @param {number} volts
 * @returns {PlannedLoad}
 */
export function loadAsked({ name, watts, told, isContinuous }, volts) {
  const hours = numberOf(told.hours, LOAD.hours);
  const said = { yes: true, no: false }[told.continuous ?? ""];
  const kind = /** @type {PlannedLoad["kind"]} */ (told.kind || (volts > 120 ? "resistive" : "electronic"));
  return {
    name,
    watts,
    kind,
    start_multiple: kind === "motor" ? numberOf(told.multiple, LOAD.multiple) : null,
    continuous: said ?? (isContinuous || null),
    priority: Number(told.priority || 2),
    hours,
  };
}

/** @param {PlanQuestion} asked @param {Item[]} items @returns {Plan} */
function planOf({ supply, cords, limitAmps }, items) {
  const { kind, volts, ohms, breakerAmps, receptacleAmps, battery, second } = supply;
  const least = Math.min(breakerAmps ?? Infinity, receptacleAmps ?? Infinity, limitAmps ?? Infinity);
  const found = branchesOf(
    items.map(({ hung }) => hung),
    least,
  );
  const { branches, shared } = second ? apartByLeg(found, items.map(legOf)) : { branches: found, shared: 0 };
  return {
    ...{ volts, source_ohms: ohms + shared, supply: kind, breaker_amps: breakerAmps, receptacle_amps: receptacleAmps },
    ...{ limit_amps: limitAmps, cords: battery ? [] : cords, battery, legs: second },
    loads: items.map((item) => ({ ...loadAsked(item, volts), ...(second ? { leg: legOf(item) } : {}) })),
    branches,
  };
}

/** Where the map notes no leg all such loads are taken as of one, which asks most of it. @param {Item} item */
export const legOf = ({ hung }) => hung.leg ?? "x";

/**
 * A wire with loads of both legs has both hots and the neutral in it, as the cord has: its ohms count before the panel.
 * @param {RigBranch[]} branches
 * @param {string[]} legs of the loads
 */
function apartByLeg(branches, legs) {
  let shared = 0;
  const own = branches.map(({ ohms = 0, ...branch }) => {
    const isShared = new Set(branch.loads.map((place) => legs[place])).size > 1;
    if (isShared) shared += ohms;
    return isShared || !ohms ? branch : { ...branch, ohms };
  });
  return { branches: own, shared };
}

/** @param {PlanQuestion} asked @param {Tables} tables @returns {Answer} */
export function answerOf(asked, tables) {
  const { items } = asked;
  const on = items.filter(({ isOn }) => isOn);
  const wanted = planOf(asked, on);
  const now = plan(wanted, tables);
  const all = on.length === items.length ? now : plan(planOf(asked, items), tables);
  const byName = new Map(items.map((item) => [item.name, item]));
  /** @param {string[]} names */
  const named = (names) => names.flatMap((name) => byName.get(name) ?? []);
  const keeps = now.runs_together[0];
  return {
    now,
    all,
    asked: wanted,
    ranges: rangesOf(asked.supply, wanted, tables),
    on,
    off: keeps && keeps.length < on.length ? on.filter(({ name }) => !keeps.includes(name)) : [],
    sets: all.runs_together.filter((names) => names.length).map(named),
  };
}

/**
 * @param {Supply} supply
 * @param {Plan} asked
 * @param {Tables} tables
 * @returns {[number, number][]|null} volts at the rig by the most and the least ohms that its readings allow
 */
function rangesOf({ ohms, leastOhms, mostOhms }, asked, tables) {
  const more = (asked.source_ohms ?? 0) - ohms;
  const low = legVolts(asked, mostOhms + more, tables);
  const high = legVolts(asked, leastOhms + more, tables);
  return (
    low &&
    high &&
    low.map((volts, leg) => {
      const other = high[leg] ?? volts;
      return [Math.min(volts, other), Math.max(volts, other)];
    })
  );
}

/** @param {MapBranches} hung @returns {Rating|undefined} the breaker that all that the inlet feeds hangs on */
export const mainOfRig = ({ loads, places }) => mainOf([...loads, ...places].filter(({ from }) => from === "inlet"));
