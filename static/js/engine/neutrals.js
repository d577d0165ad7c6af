// Two breakers that share a neutral and are on one leg, so that the neutral carries the sum of both. The twin of the
// stop in fieldlog/engine/protection/shared_neutrals.py; the rest of that is advice, which only the server gives.

import { TWO_LEGS_FROM_AMPS } from "./legs.js";

/** @import { RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */

/** @typedef {{id: "shared-neutral-on-one-leg", part: string, runs: number[], among: string[]}} NeutralStop */

/**
 * @param {RigPart[]} parts
 * @param {{byId: Map<string, RigPart>, feed: Map<string, RigRun>}} of
 * @returns {NeutralStop[]} in the order of the map, each pair once
 */
export function neutralStops(parts, { byId, feed }) {
  /** @type {Set<string>} */
  const told = new Set();
  return parts.flatMap((one) => {
    const other = byId.get(one.shares_neutral ?? "");
    const pair = [one.id, other?.id ?? one.id].sort().join("\n");
    if (!other || other === one || told.has(pair)) return [];
    told.add(pair);
    const isOneLeg = Boolean(one.leg) && one.leg === other.leg && one.leg !== "both";
    if (!isOneLeg && ![one, other].some(({ id }) => hasOneHot(id, { byId, feed }))) return [];
    return [{ id: "shared-neutral-on-one-leg", part: one.id, runs: [], among: [other.id] }];
  });
}

/**
 * Whether power comes to a part through an inlet or a pedestal outlet that is noted as one with one hot.
 * @param {string} id
 * @param {{byId: Map<string, RigPart>, feed: Map<string, RigRun>}} of
 */
function hasOneHot(id, { byId, feed }) {
  let part = feed.get(id)?.from ?? "";
  for (let steps = 0; part && steps <= byId.size; steps += 1) {
    const { kind, amps } = byId.get(part) ?? {};
    if (kind === "inverter") return false;
    if ((kind === "inlet" || kind === "supply") && amps && amps < TWO_LEGS_FROM_AMPS) return true;
    part = feed.get(part)?.from ?? "";
  }
  return false;
}
