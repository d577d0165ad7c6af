// What a change to the wiring touches. The Python twin is fieldlog/engine/protection/touched.py.

import { SPLIT_PHASE, THREE_WIRE } from "./contacts.js";
import { TWO_LEGS_FROM_AMPS } from "./legs.js";
import { protect } from "./protect.js";

/** @import { RigMap } from "./protect.js" */
/** @import { ChangeScope } from "./proving.js" */
/** @import { RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @typedef {Pick<RigRun, "from"|"to">} Ends */

/**
 * Gives what has to be proved after a change: the parts, all that hangs on them in any mode or hung on them since
 * before the change, and what guards that; a change may take a part out, or feed what hung on it from elsewhere.
 * @param {RigMap} map as it is after the change
 * @param {string[]} parts
 * @param {(part: RigPart) => string[]} pairsOf the pairs of contacts of a part, none where it cannot be probed
 * @param {Ends[][]} [earlier] the runs of each version of the map from the one before the change on
 * @returns {ChangeScope} in the order of the map
 */
export function touchedBy(map, parts, pairsOf, earlier = []) {
  const once = new Set([...parts, ...earlier.flatMap((runs) => [...belowOf(runs, parts)])]);
  const below = belowOf(
    map.runs ?? [],
    map.parts.map(({ id }) => id).filter((id) => once.has(id)),
  );
  const outlets = map.parts.filter((part) => below.has(part.id) && pairsOf(part).length);
  const guards = new Set(
    Object.values(protect(map)).flatMap((found) =>
      Object.entries(found.guards).flatMap(([id, by]) => (below.has(id) ? by : [])),
    ),
  );
  /** @param {RigPart} part */
  const isGuard = ({ kind, gfci }) =>
    ["gfci-receptacle", "cord-gfci"].includes(kind) || (kind === "breaker" && Boolean(gfci));
  return {
    outlets: outlets.map((part) => [part.id, pairsOf(part)]),
    devices: map.parts
      .filter((part) => isGuard(part) && (below.has(part.id) || guards.has(part.id)))
      .map(({ id }) => id),
    sources: idsOf(map, "inverter"),
    frames: map.parts.filter(({ id, kind }) => kind === "appliance" && below.has(id)).map(({ id }) => id),
    inlets: inletsOf(map, pairsOf),
    outputs: placesOf(map, "inverter", pairsOf),
    relays: idsOf(map, "relay"),
    branches: branchesOf(map),
  };
}

/** @param {RigMap} map @param {RigPart["kind"]} wanted */
const idsOf = ({ parts }, wanted) => parts.filter(({ kind }) => kind === wanted).map(({ id }) => id);

/**
 * Parts of a kind with their pairs; an inlet of 50 A without a type has two hots, any other three contacts.
 * @param {RigMap} map
 * @param {RigPart["kind"]} wanted
 * @param {(part: RigPart) => string[]} pairsOf
 * @returns {[string, string[]][]}
 */
const placesOf = ({ parts }, wanted, pairsOf) =>
  parts
    .filter(({ kind }) => kind === wanted)
    .map((part) => {
      const contacts = wanted === "inlet" && part.amps === TWO_LEGS_FROM_AMPS ? SPLIT_PHASE : THREE_WIRE;
      return [part.id, pairsOf(part).length ? pairsOf(part) : contacts.usual];
    });

/** Breakers with no other breaker beyond them, in any mode. @param {RigMap} map */
function branchesOf(map) {
  const breakers = idsOf(map, "breaker");
  const runs = map.runs ?? [];
  const before = runs.filter(({ to }) => breakers.includes(to)).map(({ from }) => from);
  const above = belowOf(
    runs.map(({ from, to }) => ({ from: to, to: from })),
    before,
  );
  return breakers.filter((id) => !above.has(id));
}

/** @param {Ends[]} runs @param {string[]} parts */
function belowOf(runs, parts) {
  const below = new Set(parts);
  for (const start of below) for (const { from, to } of runs) if (from === start) below.add(to);
  return below;
}

/**
 * One without an id where the map has none, since a cord enters somewhere.
 * @param {RigMap} map
 * @param {(part: RigPart) => string[]} pairsOf
 * @returns {[string|null, string[]][]}
 */
function inletsOf(map, pairsOf) {
  const found = placesOf(map, "inlet", pairsOf);
  return found.length ? found : [[null, THREE_WIRE.usual]];
}
