// What a rig's map says of its loads: what has power in a mode, over which breakers, wires and strips, and which guards
// it has.
import { PLUGS } from "../engine/part-kinds.js";
import { figureOf } from "../engine/plan-circuit.js";
import { protect } from "../engine/protect.js";

/** @import { BodyRigMap, RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @import { Tables } from "../engine/plan-circuit.js" */

/**
 * @typedef {object} Rating something on the way that carries only so much
 * @property {string} id of its part, or of the part to which its wire leads
 * @property {"breaker"|"wire"|"cord"|"strip"|"outlet"|"inlet"} what
 * @property {string} name
 * @property {number} amps
 * @property {string} source
 * @property {number} [ohms] of a wire or cord whose length is noted, there and back
 *
 * @typedef {object} Place where something hangs
 * @property {string} id
 * @property {string} name
 * @property {"inlet"|"inverter"} from which kind of source feeds it
 * @property {"x"|"y"|"both"|null} leg of the breaker it hangs on
 * @property {Rating[]} rated what it hangs on, nearest first
 * @property {string[]} guards their names, nearest first
 *
 * @typedef {Place & {watts: number|null, isContinuous: boolean}} MapLoad
 * @typedef {{loads: MapLoad[], places: Place[], dead: string[]}} MapBranches places: where something can be plugged
 *   in; dead:
 *   names of appliances without power in this mode
 */

/** @type {Record<string, Rating["what"]>} */
const RATED = {
  breaker: "breaker",
  inlet: "inlet",
  strip: "strip",
  receptacle: "outlet",
  "gfci-receptacle": "outlet",
};
const VOLTS = 120;
const PLATE = "the rating on the thing itself";

/**
 * @param {BodyRigMap} map
 * @param {string} mode a name of the map's, or "" where it has none
 * @param {Tables} tables
 * @returns {MapBranches}
 */
export function hungOn(map, mode, tables) {
  const judged = protect(map)[mode];
  if (!judged) return { loads: [], places: [], dead: [] };
  const without = map.modes[mode]?.without ?? [];
  const ways = waysOf(map, without, tables);
  const names = new Map(map.parts.map(({ id, name }) => [id, name]));
  /** @param {RigPart} part @returns {Place} */
  const placed = (part) => ({
    id: part.id,
    name: part.name,
    ...ways(part),
    guards: (judged.guards[part.id] ?? []).map((guard) => names.get(guard) ?? guard),
  });
  const appliances = map.parts.filter(({ kind }) => kind === "appliance");
  /** @param {RigPart} part */
  const asLoad = (part) => {
    const place = placed(part);
    return { ...place, ...drawnBy(part, place.leg === "both" ? 2 * VOLTS : VOLTS) };
  };
  return {
    loads: appliances.filter(({ id }) => judged.fed.has(id)).map(asLoad),
    places: map.parts.filter(({ id, kind }) => PLUGS.includes(kind) && judged.fed.has(id)).map(placed),
    dead: appliances.filter(({ id }) => !judged.fed.has(id)).map(({ name }) => name),
  };
}

/** Own amperes stand for watts where only they are noted. @param {RigPart} part @param {number} volts */
function drawnBy({ watts, amps, continuous }, volts) {
  return { watts: watts ?? (amps ? amps * volts : null), isContinuous: Boolean(continuous) };
}

/**
 * Gives the way from a part up to what feeds it.
 * @param {BodyRigMap} map
 * @param {number[]} without
 * @param {Tables} tables
 */
function waysOf({ parts, runs }, without, tables) {
  const byId = new Map(parts.map((part) => [part.id, part]));
  /** @type {Map<string, RigRun>} */
  const feeds = new Map();
  for (const [i, run] of runs.entries()) if (!without.includes(i)) feeds.set(run.to, run);
  /** @param {RigPart} from @returns {Pick<Place, "from"|"leg"|"rated">} */
  return (from) => {
    /** @type {Rating[]} */
    const rated = [];
    /** @type {RigPart["leg"]} */
    let leg = null;
    const seen = new Set();
    /** @type {RigPart|undefined} */
    let part = from;
    while (part && !seen.has(part.id)) {
      seen.add(part.id);
      if (part !== from || part.kind !== "appliance") rated.push(...ratedAt(part));
      leg ??= part.leg ?? null;
      if (part.kind === "inverter") return { from: "inverter", leg, rated };
      const run = feeds.get(part.id);
      if (run && part.kind !== "inlet") rated.push(...ratedRun(run, part, tables));
      part = byId.get(run?.from ?? "");
    }
    return { from: "inlet", leg, rated };
  };
}

/** @param {RigPart} part @returns {Rating[]} */
function ratedAt({ id, kind, name, amps }) {
  const what = RATED[kind];
  return what && amps ? [{ id, what, name, amps, source: PLATE }] : [];
}

/**
 * What a cord or a wire of some gauge carries.
 * @param {RigRun} run
 * @param {RigPart} to
 * @param {Tables} tables
 * @returns {Rating[]}
 */
function ratedRun({ awg, cord, feet }, { id, name, kind }, tables) {
  if (!awg) return [];
  const isCord = cord || kind === "strip";
  const key = isCord ? `cord-two-${awg}` : awg >= 10 ? `breaker-most-${awg}` : `ampacity-60-${awg}`;
  const entry = tables[key];
  if (!entry) return [];
  const what = isCord ? "cord" : "wire";
  const called = `${awg} AWG ${what} to ${name}`;
  const perFoot = tables[`ohms-stranded-${awg}`]?.value;
  const ohms = feet && perFoot !== undefined ? { ohms: (2 * feet * perFoot) / 1000 } : {};
  return [{ id: `${id}/${what}`, what, name: called, amps: figureOf(tables, key), source: entry.source, ...ohms }];
}

/**
 * The cord to the inlet, where the map notes its gauge and length, as the form takes it.
 * @param {BodyRigMap} map
 * @returns {Record<string, string>}
 */
export function cordOfMap({ parts, runs }) {
  const inlets = parts.filter(({ kind }) => kind === "inlet").map(({ id }) => id);
  const run = runs.find(({ to, awg, feet }) => inlets.includes(to) && awg && feet);
  return run ? { "cord.0.awg": String(run.awg), "cord.0.feet": String(run.feet) } : {};
}

/** @param {Rating[]} rated @returns {Rating|undefined} what binds: the least, of equals the nearest */
export const bindingOf = (rated) =>
  rated.reduce(
    (/** @type {Rating|undefined} */ least, one) => (least && least.amps <= one.amps ? least : one),
    undefined,
  );

/**
 * The first breaker behind the inlet, where all of a rig hangs on it.
 * @param {Place[]} hung all that is fed by the inlet
 * @returns {Rating|undefined}
 */
export function mainOf(hung) {
  const [first, ...others] = hung;
  return first?.rated.findLast(
    ({ id, what }) => what === "breaker" && others.every(({ rated }) => rated.some((each) => each.id === id)),
  );
}

/** @typedef {{name: string, amps: number, loads: number[], ohms?: number}} RigBranch */

/**
 * The branches of a plan: of those with the same loads the least, and the ohms of all their wires; none that its
 * supply's own limit holds anyway, but for their ohms.
 * @param {{rated: Rating[]}[]} loads in the order of the plan
 * @param {number} limitAmps of the supply
 * @returns {RigBranch[]}
 */
export function branchesOf(loads, limitAmps) {
  /** @type {Map<string, RigBranch & {ohms: number}>} */
  const byId = new Map();
  for (const [place, { rated }] of loads.entries())
    for (const { id, name, amps, ohms = 0 } of rated) {
      const known = byId.get(id);
      if (known) known.loads.push(place);
      else byId.set(id, { name, amps, loads: [place], ohms });
    }
  /** @type {Map<string, RigBranch & {ohms: number}>} */
  const least = new Map();
  for (const branch of byId.values()) {
    const key = branch.loads.join();
    const known = least.get(key);
    const ohms = (known?.ohms ?? 0) + branch.ohms;
    least.set(key, { ...(known && known.amps <= branch.amps ? known : branch), ohms });
  }
  return [...least.values()]
    .filter(({ amps, ohms }) => amps < limitAmps || ohms > 0)
    .map(({ ohms, ...branch }) => (ohms > 0 ? { ...branch, ohms } : branch));
}
