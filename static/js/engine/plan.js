// What can run here. The twin of fieldlog/engine/planning, to the last bit; what is typed in was checked before.
import { ampsAt, ampsOf, figureOf, nodeVolts, seenBy } from "./plan-circuit.js";
import { finding, findingsOf } from "./plan-findings.js";
import { together, voltsAtLoad } from "./plan-legs.js";
import { BATTERY_VOLTS, loadsOf, loopOhms, worked } from "./plan-worked.js";
import { togetherOf } from "./together.js";

/** @import { Load, Tables, Wire } from "./plan-circuit.js" */
/** @import { FindingRow } from "./plan-findings.js" */
/** @import { OtherHot, LegsAtOnce } from "./plan-legs.js" */
/** @import { WorkedPlan } from "./plan-worked.js" */

/**
 * @typedef {import("./plan-worked.js").Battery} Battery
 * @typedef {import("./plan-worked.js").Plan} Plan
 * @typedef {import("./plan-worked.js").SecondHot} SecondHot
 * @typedef {{volts_at_rig: number|null, amps: number|null, volts_alone: number|null}} LegAnswer
 *
 * @typedef {object} PlanAnswer
 * @property {number|null} limit_amps
 * @property {string} limited_by
 * @property {number|null} amps
 * @property {number|null} volts_at_rig
 * @property {number|null} drop_percent
 * @property {boolean} fits
 * @property {{name: string, amps: number|null, start_volts: number|null, runs: boolean, volts?: number|null}[]} loads
 * @property {string[][]} runs_together
 * @property {number|null} runtime_hours
 * @property {{x: LegAnswer, y: LegAnswer}} [legs]
 * @property {number|null} [neutral_amps]
 * @property {ReturnType<typeof finding>[]} findings
 */

const LEGS = /** @type {const} */ (["x", "y"]);

/** What can run on a supply. @param {Plan} asked @param {Tables} tables @returns {PlanAnswer} */
export function plan(asked, tables) {
  const { loads, wires } = loadsOf(asked, tables);
  if (asked.legs) return ofTwoLegs(asked, asked.legs, { loads, wires }, tables);
  const { circuit, ...found } = worked(asked, { loads, wires }, tables);
  const { limit, at, starts, fits } = found;
  const sets = togetherOf(loads, [circuit]);
  return {
    ...limitAnswer(limit),
    amps: at && ampsOf(loads, seenBy(loads, at)),
    volts_at_rig: found.volts,
    drop_percent: found.dropPercent,
    fits,
    loads: loads.map((load, i) => {
      const volts = at?.[load.wire + 1] ?? null;
      return {
        name: load.name,
        amps: volts === null ? null : ampsAt(load, volts),
        start_volts: starts[i] ?? null,
        runs: runs(load, starts[i] ?? null, volts, tables),
        ...(wires.length ? { volts } : {}),
      };
    }),
    runs_together: sets.best.map((set) => set.map(({ name }) => name)),
    runtime_hours: runtimeHours(found),
    findings: [...findingsOf(found, tables), ...notAllTried(sets, tables)],
  };
}

/**
 * Volts at the rig leg by leg, all loads on, were the loop of other ohms; null where the circuit has no solution.
 * @param {Plan} asked
 * @param {number} sourceOhms
 * @param {Tables} tables
 * @returns {number[]|null} of one hot alone one
 */
export function legVolts(asked, sourceOhms, tables) {
  const told = { ...asked, source_ohms: sourceOhms };
  const { loads, wires } = loadsOf(told, tables);
  const open = told.volts ?? BATTERY_VOLTS;
  const ohms = loopOhms(told, tables);
  if (!told.legs) return nodeVolts(loads, open, ohms, wires)?.slice(0, 1) ?? null;
  const neutral = figureOf(tables, "neutral-share") * ohms;
  const both = together(loads, open, otherHot(open, told.legs, tables), { hot: ohms - neutral, neutral }, wires);
  return both?.volts.slice(0, 2) ?? null;
}

/**
 * Volts at a load while it starts at some multiple of its current, the others on.
 * @param {Plan} asked
 * @param {number} place of the load
 * @param {number} multiple
 * @param {Tables} tables
 * @returns {number|null}
 */
export function startAt(asked, place, multiple, tables) {
  const loads = asked.loads.map((load, at) => (at === place ? { ...load, start_multiple: multiple } : load));
  const all = loadsOf({ ...asked, loads }, tables);
  if (!asked.legs) return worked(asked, all, tables).starts[place] ?? null;
  const legs = eachLeg(asked, asked.legs, all, tables);
  return legLoad(/** @type {Load} */ (all.loads[place]), all.loads, legs, null, tables).start_volts;
}

/**
 * How the hots stand to each other, by the volts between them: opposed, or two of three phases.
 * @param {number} voltsX
 * @param {SecondHot} legs
 * @param {Tables} tables
 * @returns {OtherHot}
 */
export function otherHot(voltsX, { volts_y: volts, volts_xy: between = null }, tables) {
  const share = between === null ? 1 : between / (voltsX + volts);
  if (share >= figureOf(tables, "legs-opposed-from")) return { volts, factor: 2, cosine: -1 };
  if (share < figureOf(tables, "legs-three-phase-from")) throw new RangeError("The hots are no two of 240 or 208 V.");
  return { volts, factor: Math.sqrt(3), cosine: -0.5 };
}

/**
 * Leg by leg; what both give together stands beside it.
 * @param {Plan} asked
 * @param {SecondHot} told
 * @param {{loads: Load[], wires: Wire[]}} all
 * @param {Tables} tables
 * @returns {PlanAnswer}
 */
function ofTwoLegs(asked, told, all, tables) {
  const volts = { x: asked.volts ?? BATTERY_VOLTS, y: told.volts_y };
  const hots = otherHot(volts.x, told, tables);
  const legs = eachLeg(asked, told, all, tables);
  const [onX, onY] = /** @type {[WorkedPlan, WorkedPlan]} */ (legs);
  const sets = togetherOf(
    all.loads,
    legs.map(({ circuit }) => circuit),
  );
  const neutral = figureOf(tables, "neutral-share") * onX.ohms;
  const both = together(all.loads, volts.x, hots, { hot: onX.ohms - neutral, neutral }, all.wires);
  const [x, y, carried] = both?.amps ?? [null, null, null];
  const [atX, atY] = both?.volts ?? [null, null];
  const isX = !both || (atX ?? 0) / volts.x <= (atY ?? 0) / volts.y;
  const [opened, atRig] = isX ? [volts.x, atX ?? null] : [volts.y, atY ?? null];
  return {
    ...limitAnswer(onX.limit),
    amps: both ? Math.max(x ?? 0, y ?? 0) : null,
    volts_at_rig: atRig,
    drop_percent: atRig === null ? null : (100 * (opened - atRig)) / opened,
    fits: onX.fits && onY.fits,
    loads: all.loads.map((load) => legLoad(load, all.loads, legs, both, tables)),
    runs_together: sets.best.map((set) => set.map(({ name }) => name)),
    runtime_hours: null,
    legs: {
      x: { volts_at_rig: atX ?? null, amps: x ?? null, volts_alone: onX.volts },
      y: { volts_at_rig: atY ?? null, amps: y ?? null, volts_alone: onY.volts },
    },
    neutral_amps: carried ?? null,
    findings: [
      ...legFindings(onX, onY, tables),
      ...(both ? togetherFindings(hots, all.loads, both, tables) : []),
      ...notAllTried(sets, tables),
    ],
  };
}

/**
 * Each leg by itself; what is lost between the hots is lost in the share of one.
 * @param {Plan} asked
 * @param {SecondHot} told
 * @param {{loads: Load[], wires: Wire[]}} all
 * @param {Tables} tables
 * @returns {WorkedPlan[]}
 */
function eachLeg(asked, told, { loads, wires }, tables) {
  const volts = { x: asked.volts ?? BATTERY_VOLTS, y: told.volts_y };
  const { factor } = otherHot(volts.x, told, tables);
  const shared = wires.map((wire) => (wire.leg === "both" ? { ...wire, ohms: wire.ohms / factor } : wire));
  return LEGS.map((leg) => worked({ ...asked, volts: volts[leg] }, { loads, wires: shared }, tables, leg, factor));
}

/**
 * By the worse of the legs that a load hangs on.
 * @param {Load} load
 * @param {Load[]} loads
 * @param {WorkedPlan[]} legs
 * @param {LegsAtOnce|null} both
 * @param {Tables} tables
 */
function legLoad(load, loads, legs, both, tables) {
  const before = loads.slice(0, loads.indexOf(load));
  const on = legs.flatMap(({ circuit: { leg }, loads: own, starts, at }) => {
    if (load.leg !== leg && load.leg !== "both") return [];
    const number = before.filter((each) => each.leg === leg || each.leg === "both").length;
    const seen = /** @type {Load} */ (own[number]);
    return [{ own: seen, start: starts[number], volts: at?.[seen.wire + 1] ?? null }];
  });
  const known = on.flatMap(({ start }) => start ?? []);
  const volts = both && voltsAtLoad(both, load);
  return {
    name: load.name,
    amps: volts === null ? null : ampsAt(load, volts),
    start_volts: known.length === on.length ? Math.min(...known) : null,
    runs: on.every(({ own, start, volts: reached }) => runs(own, start, reached, tables)),
    volts,
  };
}

/**
 * What is the same of both legs is told once.
 * @param {WorkedPlan} onX
 * @param {WorkedPlan} onY
 * @param {Tables} tables
 */
function legFindings(onX, onY, tables) {
  const [ofX, ofY] = [findingsOf(onX, tables), findingsOf(onY, tables)];
  /** @param {ReturnType<typeof finding>[]} list @returns {Set<string>} */
  const texts = (list) => new Set(list.map((each) => JSON.stringify(each)));
  const [x, y] = [texts(ofX), texts(ofY)];
  /** @param {string} leg @param {ReturnType<typeof finding>} each */
  const of = (leg, each) => ({ ...each, says: `Leg ${leg}, the other one off: ${each.says}` });
  return [
    ...ofX.filter((each) => y.has(JSON.stringify(each))),
    ...ofX.filter((each) => !y.has(JSON.stringify(each))).map((each) => of("X", each)),
    ...ofY.filter((each) => !x.has(JSON.stringify(each))).map((each) => of("Y", each)),
  ];
}

/** @param {OtherHot} hots @param {Load[]} loads @param {LegsAtOnce} both @param {Tables} tables */
function togetherFindings({ cosine }, loads, both, tables) {
  const [x, y] = both.volts;
  const most = Math.max(x ?? 0, y ?? 0);
  const high = figureOf(tables, "high-stop");
  const carried = both.amps[2] ?? 0;
  /** @type {FindingRow[]} */
  const told = [];
  if (most > high) told.push(["rig-volts-too-high", null, most, high]);
  if (cosine > -1 && carried > 0) told.push(["neutral-carries", null, carried, null]);
  for (const load of loads) {
    const least = load.rated * figureOf(tables, "motor-least-share");
    const volts = voltsAtLoad(both, load);
    if (load.leg === "both" && volts < least) told.push(["between-hots-low", load.name, volts, least]);
  }
  return told.map((each) => finding(each, tables));
}

/** @param {{what: string, amps: number}|undefined} limit */
const limitAnswer = (limit) => ({ limit_amps: limit?.amps ?? null, limited_by: limit?.what ?? "none" });

/** @param {{isExact: boolean}} sets @param {Tables} tables */
const notAllTried = ({ isExact }, tables) =>
  isExact ? [] : [finding(["sets-not-all-tried", null, null, null], tables)];

/** @param {Load} load @param {number|null} start @param {number|null} volts @param {Tables} tables */
function runs({ isMotor }, start, volts, tables) {
  if (volts === null || volts < figureOf(tables, "low-stop") || volts > figureOf(tables, "high-stop")) return false;
  return !isMotor || (start !== null && start >= figureOf(tables, "start-least-volts"));
}

/** For how long the battery feeds all loads. @param {Omit<WorkedPlan, "circuit">} found */
function runtimeHours({ battery, fits, loads }) {
  if (!battery || !fits) return null;
  const taken = loads.reduce((watts, load) => watts + load.watts, 0) / battery.efficiency + battery.idle_watts;
  return taken > 0 ? (battery.watt_hours * battery.usable) / taken : null;
}
