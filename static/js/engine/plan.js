// What can run here. The twin of fieldlog/engine/planning, to the last bit; what is typed in was checked before.
import { ampsAt, ampsOf, ampsToFit, figureOf, hungOn, loadOf, startVolts, voltsWith } from "./plan-circuit.js";
import { togetherOf } from "./together.js";

/** @import { Branch, Load, PlannedLoad, Tables } from "./plan-circuit.js" */

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
 *
 * @typedef {ReturnType<typeof worked>} Worked
 * @typedef {[id: string, load: string|null, value: number|null, limit: number|null]} FindingRow
 */

const BATTERY_VOLTS = 120;
/** @type {Record<string, string>} */
const CALLED = { receptacle: "outlet", cord: "cord" };

/** What can run on a supply. @param {Plan} asked @param {Tables} tables */
export function plan(asked, tables) {
  const found = worked(asked, tables);
  const { limit, volts, loads, starts, fits } = found;
  return {
    limit_amps: limit?.amps ?? null,
    limited_by: limit?.what ?? "none",
    amps: volts === null ? null : ampsOf(loads, volts),
    volts_at_rig: volts,
    drop_percent: found.dropPercent,
    fits,
    loads: loads.map((load, i) => ({
      name: load.name,
      amps: volts === null ? null : ampsAt(load, volts),
      start_volts: starts[i] ?? null,
      runs: runs(load, starts[i] ?? null, volts, tables),
    })),
    runs_together: found.sets.best.map((set) => set.map(({ name }) => name)),
    runtime_hours: runtimeHours(found),
    findings: findingsOf(found, tables),
  };
}

/** @param {Plan} told @param {Tables} tables */
function worked(told, tables) {
  const battery = told.battery ?? null;
  const open = told.volts ?? BATTERY_VOLTS;
  const branches = told.branches ?? [];
  const loads = told.loads.map((load, place) => loadOf(load, tables, numbersOf(branches, place)));
  const ohms = loopOhms(told, tables);
  const volts = voltsWith(loads, open, ohms);
  const ratings = ratingsOf(told, open, tables);
  const limit = ratings.reduce((least, rating) => (least && least.amps <= rating.amps ? least : rating), ratings[0]);
  const asked = volts === null ? null : ampsToFit(loads, volts, tables);
  const onBranches = volts === null ? [] : branches.map((_, at) => ampsToFit(hungOn(loads, at), volts, tables));
  const circuit = { volts: open, ohms, limitAmps: limit?.amps ?? null, tables, branches };
  return {
    kind: told.supply ?? (battery ? "inverter" : "utility"),
    battery,
    open,
    loads,
    volts,
    dropPercent: volts === null ? null : (100 * (open - volts)) / open,
    ratings,
    limit,
    asked,
    fits:
      asked !== null &&
      (!limit || asked <= limit.amps) &&
      branches.every(({ amps }, at) => (onBranches[at] ?? 0) <= amps),
    branches,
    onBranches,
    setLimit: told.limit_amps ?? null,
    breaker: told.breaker_amps ?? null,
    starts: loads.map((load) =>
      startVolts(
        load,
        loads.filter((each) => each !== load),
        open,
        ohms,
      ),
    ),
    sets: togetherOf(loads, circuit),
  };
}

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

/** @param {Load} load @param {number|null} start @param {number|null} volts @param {Tables} tables */
function runs({ isMotor }, start, volts, tables) {
  if (volts === null || volts < figureOf(tables, "low-stop") || volts > figureOf(tables, "high-stop")) return false;
  return !isMotor || (start !== null && start >= figureOf(tables, "start-least-volts"));
}

/** For how long the battery feeds all loads. @param {Worked} found */
function runtimeHours({ battery, fits, loads }) {
  if (!battery || !fits) return null;
  const taken = loads.reduce((watts, load) => watts + load.watts, 0) / battery.efficiency + battery.idle_watts;
  return taken > 0 ? (battery.watt_hours * battery.usable) / taken : null;
}

/** @param {Worked} found @param {Tables} tables */
function findingsOf(found, tables) {
  const told = [
    ...ofLimits(found, tables),
    ...ofVolts(found, tables),
    ...ofStarts(found, tables),
    ...ofHours(found, tables),
  ];
  if (!found.sets.isExact) told.push(["sets-not-all-tried", null, null, null]);
  return told.map((each) => finding(each, tables));
}

/** @param {Worked} found @param {Tables} tables @returns {Generator<FindingRow>} */
function* ofLimits({ limit, asked, loads, ratings, breaker, setLimit, branches, onBranches }, tables) {
  const factor = figureOf(tables, "continuous-factor");
  const plates = loads.reduce((sum, { amps, isContinuous }) => sum + amps * (isContinuous ? factor : 1), 0);
  if (!limit) yield ["no-rating", null, null, null];
  else if (asked !== null && asked > limit.amps) yield ["over-limit", null, asked, limit.amps];
  else if (plates > limit.amps) yield ["over-at-rated-volts", null, plates, limit.amps];
  for (const { what, amps } of ratings)
    if (breaker !== null && CALLED[what] && amps < breaker) {
      const isHeld = setLimit !== null && setLimit <= amps;
      yield [isHeld ? "held-by-limit-alone" : "not-protected-by-breaker", CALLED[what] ?? null, amps, breaker];
    }
  for (const [at, { name, amps }] of branches.entries()) {
    const on = onBranches[at];
    if (on !== undefined && on > amps) yield ["branch-over-limit", name, on, amps];
  }
}

/** @param {Worked} found @param {Tables} tables @returns {Generator<FindingRow>} */
function* ofVolts({ volts, dropPercent, open }, tables) {
  if (volts === null || dropPercent === null) {
    yield ["cannot-deliver", null, null, null];
    return;
  }
  const [least, low, high] = [
    figureOf(tables, "low-stop"),
    figureOf(tables, "rig-low-limit"),
    figureOf(tables, "high-stop"),
  ];
  if (volts < least) yield ["rig-volts-too-low", null, volts, least];
  else if (volts < low) yield ["rig-volts-low", null, volts, low];
  // With little on, the rig gets what the supply gives.
  if (open > high) yield ["rig-volts-too-high", null, open, high];
  for (const limit of [figureOf(tables, "drop-limit-percent"), figureOf(tables, "drop-note-percent")])
    if (dropPercent > limit) {
      yield ["drop", null, dropPercent, limit];
      return;
    }
}

/** @param {Worked} found @param {Tables} tables @returns {Generator<FindingRow>} */
function* ofStarts({ loads, starts, battery, kind }, tables) {
  const least = figureOf(tables, "start-least-volts");
  for (const [i, { name, isMotor, startAmps, rated }] of loads.entries()) {
    const volts = starts[i] ?? null;
    if (isMotor && (volts === null || volts < least)) yield ["start-volts-low", name, volts, least];
    if (battery && startAmps !== null && startAmps * rated > battery.inverter_watts)
      yield ["start-above-inverter", name, startAmps * rated, battery.inverter_watts];
    if (isMotor && kind === "generator") yield ["droop-at-start", name, null, null];
  }
}

/** @param {Worked} found @param {Tables} tables @returns {Generator<FindingRow>} */
function* ofHours({ loads, battery }, tables) {
  const least = figureOf(tables, "continuous-hours");
  for (const { name, hours, isContinuous } of loads)
    if (hours !== null && hours >= least && !isContinuous) yield ["hours-make-it-continuous", name, hours, least];
  const longest = Math.max(0, ...loads.map(({ hours }) => hours ?? 0));
  if (!battery || longest === 0) return;
  const wattHours = loads.reduce((sum, { watts, hours }) => sum + watts * (hours ?? 0), 0);
  const taken = wattHours / battery.efficiency + battery.idle_watts * longest;
  const given = battery.watt_hours * battery.usable;
  yield [taken <= given ? "hours-covered" : "hours-not-covered", null, taken, given];
}

/** @param {FindingRow} told @param {Tables} tables */
function finding([id, load, value, limit], tables) {
  const entry = tables[id];
  if (!entry) throw new RangeError(`The tables hold no ${id}.`);
  const { level = "", unit, says = "", do: what = "", source, known } = entry;
  /** @type {Record<string, string|null>} */
  const words = { load, value: shown(value), limit: shown(limit) };
  /** @param {string} text */
  const filled = (text) => text.replace(/\{(\w+)\}/g, (_, name) => `${words[name]}`);
  return { id, level, load, value, limit, unit, says: filled(says), do: filled(what), source, known };
}

/** A figure for a sentence: to a tenth; "no" where there is none. @param {number|null} value */
const shown = (value) => (value === null ? "no" : `${Math.floor(value * 10 + 0.5) / 10}`);
