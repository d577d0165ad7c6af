// What guards what on a rig's map, what feeds it at once, and where the trips disagree with it. The twin of
// fieldlog/engine/protection, without its explanations and its advice, which only the server gives.

import { disprovedOf } from "./disproved.js";
import { joinedCuts, joinsOf, stopsOf } from "./joined.js";
import { neutralStops } from "./neutrals.js";
import { OUTLETS, TRIPPING, TWO_SIDED } from "./part-kinds.js";

/** @import { BodyRigMap, RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @import { Disproof } from "./disproved.js" */
/** @import { Net, Stop } from "./joined.js" */
/** @import { NeutralStop } from "./neutrals.js" */

const HOW = /** @type {const} */ (["dead", "live"]);

/**
 * @typedef {{parts: RigPart[], runs?: RigRun[], modes?: BodyRigMap["modes"]}} RigMap
 * @typedef {{device: string, dead?: string[], live?: string[], mode?: string|null}} Trip
 * @typedef {object} Protection
 * @property {Set<string>} fed
 * @property {Record<string, string[]>} guards of outlets, nearest first, without those that a trip disproved
 * @property {Record<string, Disproof[]>} disproved of all parts, what the map says and a trip shows otherwise
 * @property {string[]} unprotected
 * @property {Contradiction[]} contradictions
 * @property {(Stop|NeutralStop)[]} stops where several feeds reach a part at once, or a neutral carries a sum
 */

/**
 * @typedef {{trip: number, part: string, expected: "dead"|"live", seen: "dead"|"live"}} Contradiction
 * @typedef {{trip: Trip, i: number, mode: string}} NumberedTrip
 * @typedef {{isFed: boolean, devices: string[]}} Cuts what leaves a part dead
 * @typedef {ReturnType<typeof wiringOf>} MapWiring
 * @typedef {object} Feeds by part
 * @property {Map<string, RigPart>} byId
 * @property {Map<string, RigRun>} feed
 * @property {Map<string, (string|undefined)[]>} fedBy
 */

/**
 * Judges a map, mode by mode. A map that the server would refuse gives no error here: what has no way to a source has
 * no feed.
 * @param {RigMap} map
 * @param {Trip[]} [trips] each in a mode, as trip-modes.js gives them
 * @returns {Record<string, Protection>} under "" where the map has no modes
 */
export function protect(map, trips = []) {
  const modes = map.modes && Object.keys(map.modes).length ? map.modes : { "": { without: [] } };
  const wirings = new Map(Object.entries(modes).map(([mode, { without }]) => [mode, wiringOf(map, without)]));
  const told = trips.map((trip, i) => ({ trip, i, mode: trip.mode ?? Object.keys(modes)[0] }));
  return Object.fromEntries(
    [...wirings].map(([mode, wiring]) => [
      mode,
      judged(
        map,
        wiring,
        told.filter((each) => each.mode === mode),
      ),
    ]),
  );
}

/** @param {RigMap} map @param {MapWiring} wiring @param {NumberedTrip[]} told @returns {Protection} */
function judged({ parts }, wiring, told) {
  const fed = new Set(parts.filter(({ id }) => wiring.cuts(id).isFed).map(({ id }) => id));
  const outlets = parts.filter(({ id, kind }) => OUTLETS.includes(kind) && fed.has(id));
  const contradictions = told.flatMap((each) => against(parts, wiring, each));
  const denied = disprovedOf(parts, wiring.net.runs, told, contradictions);
  /** @param {string} id what the map says */
  const guardsOf = (id) => wiring.cuts(id).devices.filter(wiring.isGuard);
  /** @param {string} id */
  const disprovedAt = (id) =>
    guardsOf(id).flatMap((guard) => denied.get(id)?.find((each) => each.guard === guard) ?? []);
  const guards = Object.fromEntries(
    outlets.map(({ id }) => {
      const not = disprovedAt(id).map(({ guard }) => guard);
      return [id, guardsOf(id).filter((guard) => !not.includes(guard))];
    }),
  );
  const unprotected = outlets.filter(({ id }) => !guards[id].length).map(({ id }) => id);
  const disproved = Object.fromEntries(
    parts
      .map(({ id }) => /** @type {[string, Disproof[]]} */ ([id, disprovedAt(id)]))
      .filter(([, each]) => each.length),
  );
  return { fed, guards, disproved, unprotected, contradictions, stops: wiring.stops };
}

/**
 * In the order of the parts; what was seen both dead and live stands twice, dead first.
 * @param {RigPart[]} parts
 * @param {MapWiring} wiring
 * @param {NumberedTrip} told
 * @returns {Protection["contradictions"]}
 */
function against(parts, wiring, { trip, i }) {
  const { device, dead = [], live = [] } = trip;
  /** @param {string} part */
  const expected = (part) => (!wiring.cuts(part).isFed || wiring.cuts(part).devices.includes(device) ? "dead" : "live");
  return parts.flatMap(({ id: part }) =>
    HOW.filter((seen) => (seen === "dead" ? dead : live).includes(part) && expected(part) !== seen).map((seen) => ({
      trip: i,
      part,
      expected: expected(part),
      seen,
    })),
  );
}

/**
 * Who feeds whom, with the runs of a mode left out.
 * @param {RigMap} map
 * @param {number[]} without
 */
function wiringOf({ parts, runs = [] }, without) {
  const byId = new Map(parts.map((part) => [part.id, part]));
  /** @type {Feeds["feed"]} */
  const feed = new Map();
  for (const [i, run] of runs.entries()) if (!without.includes(i)) feed.set(run.to, run);
  const fedBy = new Map(
    parts.map(({ id }) => [id, runs.filter(({ to }) => to === id).map(({ from }) => byId.get(from)?.kind)]),
  );
  /** @type {Map<string, Cuts>} */
  const known = new Map();
  const net = netOf({ parts, runs }, without, { byId, fedBy });
  const isJoined = joinsOf(net).length > 0;
  const of = isJoined ? joinedCuts(net) : (/** @type {string} */ id) => cutsOf(id, { byId, feed, fedBy });
  /** @param {string} id */
  const cuts = (id) => /** @type {Cuts} */ (known.get(id) ?? known.set(id, of(id)).get(id));
  /** @param {string} id */
  const isGuard = (id) =>
    TWO_SIDED.includes(byId.get(id)?.kind) || Boolean(byId.get(id)?.gfci && byId.get(id)?.kind === "breaker");
  const stops = [...(isJoined ? stopsOf(net) : []), ...neutralStops(parts, { byId, feed })];
  return { cuts, isGuard, net, stops };
}

/**
 * @param {{parts: RigPart[], runs: RigRun[]}} map
 * @param {number[]} without
 * @param {Pick<Feeds, "byId"|"fedBy">} known
 * @returns {Net}
 */
function netOf({ parts, runs }, without, { byId, fedBy }) {
  return {
    parts,
    runs: runs.map((run, i) => ({ run, i })).filter(({ i }) => !without.includes(i)),
    isSource: (part) => isSource(part, fedBy),
    trips: (id) => TRIPPING.includes(byId.get(id)?.kind),
    isBeyond: ({ from, from_side: side }) => !TWO_SIDED.includes(byId.get(from)?.kind) || side === "load",
  };
}

/**
 * Walks from a part to its source and gives the devices that leave it dead when they trip, nearest first.
 * What an inverter feeds is cut by nothing before it: it goes on by itself.
 * @param {string} id
 * @param {Feeds} of
 * @returns {Cuts}
 */
function cutsOf(id, { byId, feed, fedBy }) {
  const devices = TRIPPING.includes(byId.get(id)?.kind) ? [id] : [];
  let part = id;
  for (let steps = 0; steps <= byId.size; steps += 1) {
    if (byId.get(part)?.kind === "inverter") return { isFed: true, devices };
    const run = feed.get(part);
    if (!run) return { isFed: isSource(byId.get(part), fedBy), devices };
    part = run.from;
    const kind = byId.get(part)?.kind;
    if (kind === "breaker" || (TWO_SIDED.includes(kind) && run.from_side === "load")) devices.push(part);
  }
  return { isFed: false, devices };
}

/**
 * A part that nothing ever feeds stands for its feed; a station plugged into an inlet is another source than the
 * pedestal.
 * @param {RigPart|undefined} part
 * @param {Feeds["fedBy"]} fedBy
 */
function isSource(part, fedBy) {
  if (!part) return false;
  if (part.kind === "supply") return true;
  const kinds = fedBy.get(part.id) ?? [];
  return part.kind === "inlet" ? kinds.every((kind) => kind === "inverter") : !kinds.length;
}
