// What can run here. The twin of fieldlog/engine/planning, to the last bit; what is typed in was checked before.
import { ownLoads } from "./loading.js";
import { ampsAt, ampsOf, ampsToFit, figureOf, hungOn, loadOf, nodeVolts, seenBy, startVolts } from "./plan-circuit.js";
import { finding, findingsOf } from "./plan-findings.js";
import { together, voltsAtLoad } from "./plan-legs.js";
import { wiresOf } from "./plan-wires.js";
import { togetherOf } from "./together.js";

/** @import { Circuit } from "./loading.js" */
/** @import { Branch, Load, PlannedLoad, Tables } from "./plan-circuit.js" */
/** @import { FindingRow } from "./plan-findings.js" */
/** @import { OtherHot, Together } from "./plan-legs.js" */
/** @import { Leg, Wire } from "./plan-wires.js" */

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
 * @typedef {{volts_at_rig: number|null, amps: number|null, volts_alone: number|null}} LegAnswer
 *
 * @typedef {object} Answered
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
 *
 * @typedef {ReturnType<typeof worked>} Worked
 */

const BATTERY_VOLTS = 120;
const LEGS = /** @type {const} */ (["x", "y"]);

/** What can run on a supply. @param {Plan} asked @param {Tables} tables @returns {Answered} */
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

/** @param {Plan} told @param {Tables} tables */
function loadsOf({ loads, branches = [] }, tables) {
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
function worked(told, { loads: all, wires }, tables, leg = "x", factor = 1) {
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
      branches.every(({ amps }, number) => (onBranches[number] ?? 0) <= amps),
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
  return { volts, factor: Math.sqrt(3), cosine: -0.5 };
}

/**
 * Leg by leg; what both give together stands beside it.
 * @param {Plan} asked
 * @param {SecondHot} told
 * @param {{loads: Load[], wires: Wire[]}} all
 * @param {Tables} tables
 * @returns {Answered}
 */
function ofTwoLegs(asked, told, all, tables) {
  const volts = { x: asked.volts ?? BATTERY_VOLTS, y: told.volts_y };
  const hots = otherHot(volts.x, told, tables);
  const shared = all.wires.map((wire) => (wire.leg === "both" ? { ...wire, ohms: wire.ohms / hots.factor } : wire));
  const legs = LEGS.map((leg) =>
    worked({ ...asked, volts: volts[leg] }, { loads: all.loads, wires: shared }, tables, leg, hots.factor),
  );
  const [onX, onY] = /** @type {[Worked, Worked]} */ (legs);
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
 * By the worse of the legs that a load hangs on.
 * @param {Load} load
 * @param {Load[]} loads
 * @param {Worked[]} legs
 * @param {Together|null} both
 * @param {Tables} tables
 */
function legLoad(load, loads, legs, both, tables) {
  const before = loads.slice(0, loads.indexOf(load));
  const on = legs.flatMap(({ circuit: { leg }, loads: own, starts, at }) => {
    if (load.leg !== leg && load.leg !== "both") return [];
    const number = before.filter((each) => each.leg === leg || each.leg === "both").length;
    const seen = /** @type {Load} */ (own[number]);
    return [{ own: seen, start: starts[number] ?? null, volts: at?.[seen.wire + 1] ?? null }];
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

/** What is the same of both legs is told once. @param {Worked} onX @param {Worked} onY @param {Tables} tables */
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

/** @param {OtherHot} hots @param {Load[]} loads @param {Together} both @param {Tables} tables */
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

/** For how long the battery feeds all loads. @param {Omit<Worked, "circuit">} found */
function runtimeHours({ battery, fits, loads }) {
  if (!battery || !fits) return null;
  const taken = loads.reduce((watts, load) => watts + load.watts, 0) / battery.efficiency + battery.idle_watts;
  return taken > 0 ? (battery.watt_hours * battery.usable) / taken : null;
}
