// What one hot of a supply gives: its volts, ratings and starts with all loads on. The twin of planned_of in
// fieldlog/engine/planning/plan.py.
import { ownLoads } from "./loading.js";
import { ampsToFit, figureOf, hungOn, loadOf, nodeVolts, seenBy, startVolts } from "./plan-circuit.js";
import { wiresOf } from "./plan-wires.js";

/** @import { Circuit } from "./loading.js" */
/** @import { Branch, Leg, Load, PlannedLoad, Tables, Wire } from "./plan-circuit.js" */

/**
 * @typedef {object} Battery
 * @property {number} watt_hours
 * @property {number} usable
 * @property {number} efficiency
 * @property {number} idle_watts
 * @property {number} inverter_watts
 *
 * @typedef {object} Plan what fieldlog plan takes
 * @property {number|null} [volts]
 * @property {number|null} [source_ohms]
 * @property {"utility"|"generator"|"inverter"} [supply]
 * @property {number|null} [breaker_amps]
 * @property {number|null} [receptacle_amps]
 * @property {number|null} [limit_amps]
 * @property {{awg: number, feet: number, contacts_ohms?: number|null}[]} [cords]
 * @property {PlannedLoad[]} loads
 * @property {Battery|null} [battery]
 * @property {Branch[]} [branches]
 * @property {SecondHot|null} [legs] where the supply has two hots; volts is then that of x
 *
 * @typedef {{volts_y: number, volts_xy?: number|null}} SecondHot
 *
 * @typedef {ReturnType<typeof worked>} WorkedPlan
 */

export const BATTERY_VOLTS = 120;

/** @param {Plan} told @param {Tables} tables */
export function loadsOf({ loads, branches = [] }, tables) {
  const { wires, within } = wiresOf(branches, loads);
  return {
    wires,
    loads: loads.map((load, place) => loadOf(load, tables, numbersOf(branches, place), within.get(place) ?? -1)),
  };
}

/**
 * What one hot of a supply gives with all its loads on.
 * @param {Plan} told
 * @param {{loads: Load[], wires: Wire[]}} all
 * @param {Tables} tables
 * @param {Leg} [leg]
 * @param {number} [factor]
 */
export function worked(told, { loads: all, wires }, tables, leg = "x", factor = 1) {
  const battery = told.battery ?? null;
  const open = told.volts ?? BATTERY_VOLTS;
  const branches = told.branches ?? [];
  const ohms = loopOhms(told, tables);
  const ratings = ratingsOf(told, open, tables);
  const limit = ratings.reduce((least, rating) => (least && least.amps <= rating.amps ? least : rating), ratings[0]);
  /** @type {Circuit} */
  const circuit = { volts: open, ohms, limitAmps: limit?.amps ?? null, tables, branches, wires, leg, factor };
  const loads = ownLoads(circuit, all);
  const at = nodeVolts(loads, open, ohms, wires);
  const volts = at?.[0] ?? null;
  const { asked, onBranches } = askedOf(loads, at, branches, tables);
  return {
    kind: told.supply ?? (battery ? "inverter" : "utility"),
    battery,
    open,
    loads,
    at,
    volts,
    dropPercent: volts === null ? null : (100 * (open - volts)) / open,
    ratings,
    limit,
    asked,
    fits:
      asked !== null &&
      (!limit || asked <= limit.amps) &&
      branches.every(({ amps }, number) => onBranches[number] <= amps),
    branches,
    onBranches,
    setLimit: told.limit_amps ?? null,
    breaker: told.breaker_amps ?? null,
    starts: startsOf(loads, circuit),
    ohms,
    circuit,
  };
}

/**
 * What the rating has to hold, and what each branch has to.
 * @param {Load[]} loads
 * @param {number[]|null} at
 * @param {Branch[]} branches
 * @param {Tables} tables
 */
function askedOf(loads, at, branches, tables) {
  if (!at) return { asked: null, onBranches: [] };
  const onBranches = branches.map((_, number) => {
    const on = hungOn(loads, number);
    return ampsToFit(on, seenBy(on, at), tables);
  });
  return { asked: ampsToFit(loads, seenBy(loads, at), tables), onBranches };
}

/** @param {Load[]} loads @param {Circuit} circuit */
const startsOf = (loads, { volts, ohms, wires }) =>
  loads.map((load) => {
    const others = loads.filter((each) => each !== load);
    return startVolts(load, others, volts, ohms, wires);
  });

/** @param {Branch[]} branches @param {number} place of a load */
const numbersOf = (branches, place) => [...branches.keys()].filter((at) => branches[at]?.loads.includes(place));

/**
 * Of the loop up to the rig: a cord counts there and back, and both its ends.
 * @param {Plan} plan
 * @param {Tables} tables
 */
export function loopOhms({ source_ohms, cords = [] }, tables) {
  let ohms = source_ohms ?? 0;
  for (const { awg, feet, contacts_ohms } of cords)
    ohms +=
      (2 * feet * figureOf(tables, `ohms-stranded-${awg}`)) / 1000 +
      2 * (contacts_ohms ?? figureOf(tables, "contact-ohms"));
  return ohms;
}

/** @param {Plan} plan @param {number} volts @param {Tables} tables */
function ratingsOf({ breaker_amps, receptacle_amps, limit_amps, cords = [], battery }, volts, tables) {
  const cord = Math.min(...cords.map(({ awg }) => figureOf(tables, `cord-two-${awg}`)));
  return [
    { what: "breaker", amps: breaker_amps ?? Infinity },
    { what: "receptacle", amps: receptacle_amps ?? Infinity },
    { what: "cord", amps: cord },
    { what: "limit", amps: limit_amps ?? Infinity },
    { what: "inverter", amps: battery ? battery.inverter_watts / volts : Infinity },
  ].filter(({ amps }) => amps < Infinity);
}
