// Which way the power comes on a map, with the runs of a mode left out.

import { TWO_SIDED } from "../engine/part-kinds.js";

/** @import { BodyRigMap, RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */

/** @typedef {Pick<BodyRigMap, "parts"|"runs">} WiredParts */

/** @param {string|undefined} kind @returns {boolean} whether such a part has a line and a load side */
export const hasSides = (kind) => TWO_SIDED.includes(kind);

/** @param {Pick<RigPart, "kind"|"gfci">} part @returns {boolean} whether it trips on a ground fault */
export const isDevice = ({ kind, gfci }) => hasSides(kind) || (kind === "breaker" && Boolean(gfci));

/**
 * @param {Pick<WiredParts, "runs">} map
 * @param {number[]} without
 * @returns {Map<string, number>} the run that feeds each part that has one
 */
function feeds({ runs }, without) {
  return new Map(
    runs.map(({ to }, i) => /** @type {[string, number]} */ ([to, i])).filter(([, i]) => !without.includes(i)),
  );
}

/**
 * @param {Pick<WiredParts, "runs">} map
 * @param {number} at a place that came from the map itself
 */
export const runAt = ({ runs }, at) => /** @type {RigRun} */ (runs[at]);

/**
 * Gives the way from the source to a part.
 * @param {WiredParts} map
 * @param {string} id
 * @param {number[]} [without]
 * @returns {number[]} runs, the one at the source first
 */
export function wayTo(map, id, without = []) {
  const byPart = feeds(map, without);
  /** @type {number[]} */
  const way = [];
  for (let run = byPart.get(id); run !== undefined && !way.includes(run); run = byPart.get(runAt(map, run).from))
    way.unshift(run);
  return way;
}

/**
 * Finds the runs that a ground-fault device stands before.
 * @param {WiredParts} map
 * @param {number[]} [without]
 * @returns {Set<number>}
 */
export function guardedRuns(map, without = []) {
  const byId = new Map(map.parts.map((part) => [part.id, part]));
  const byPart = feeds(map, without);
  /** @type {Map<number, boolean>} */
  const known = new Map();
  /** @param {number} run */
  const isGuarded = (run) => {
    /** @type {number[]} */
    const walked = [];
    let found = false;
    for (
      let at = /** @type {number|undefined} */ (run);
      at !== undefined && !found && !walked.includes(at);
      at = byPart.get(runAt(map, at).from)
    ) {
      const from = byId.get(runAt(map, at).from);
      walked.push(at);
      if (known.has(at) || !from || from.kind === "inverter") {
        found = known.get(at) ?? false;
        break;
      }
      found = hasSides(from.kind) ? runAt(map, at).from_side === "load" : isDevice(from);
    }
    for (const at of walked) known.set(at, found);
    return found;
  };
  return new Set(map.runs.map((_, run) => run).filter(isGuarded));
}
