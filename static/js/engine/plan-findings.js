// What speaks against a plan, each finding with its figures and its source. The twin of
// fieldlog/engine/planning/findings.py.
import { figureOf } from "./plan-circuit.js";

/** @import { Tables } from "./plan-circuit.js" */
/** @import { WorkedPlan } from "./plan-worked.js" */

/** @typedef {[id: string, load: string|null, value: number|null, limit: number|null]} FindingRow */

/** @type {Record<string, string>} */
const CALLED = { receptacle: "outlet", cord: "cord" };

/** @param {Omit<WorkedPlan, "circuit">} found @param {Tables} tables */
export function findingsOf(found, tables) {
  const told = [
    ...ofLimits(found, tables),
    ...ofVolts(found, tables),
    ...ofStarts(found, tables),
    ...ofHours(found, tables),
  ];
  return told.map((each) => finding(each, tables));
}

/** @param {Omit<WorkedPlan, "circuit">} found @param {Tables} tables @returns {Generator<FindingRow>} */
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

/** @param {Omit<WorkedPlan, "circuit">} found @param {Tables} tables @returns {Generator<FindingRow>} */
function* ofVolts({ volts, dropPercent, open, loads, at }, tables) {
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
  for (const { name, wire } of loads) {
    const reached = at?.[wire + 1] ?? 0;
    if (volts >= least && least > reached) yield ["load-volts-too-low", name, reached, least];
    else if (volts >= low && low > reached) yield ["load-volts-low", name, reached, low];
  }
  for (const limit of [figureOf(tables, "drop-limit-percent"), figureOf(tables, "drop-note-percent")])
    if (dropPercent > limit) {
      yield ["drop", null, dropPercent, limit];
      return;
    }
}

/** @param {Omit<WorkedPlan, "circuit">} found @param {Tables} tables @returns {Generator<FindingRow>} */
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

/** @param {Omit<WorkedPlan, "circuit">} found @param {Tables} tables @returns {Generator<FindingRow>} */
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
export function finding([id, load, value, limit], tables) {
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
