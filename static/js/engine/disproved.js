// Guards that a trip disproved: the map says that a device guards a part, and the part stayed live when it tripped.
// The twin of fieldlog/engine/protection/disproved.py.

/** @import { RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */

/**
 * @typedef {{device: string, dead?: string[], live?: string[]}} Trip
 * @typedef {{trip: number, part: string, seen: "dead"|"live"}} Sighting
 * @typedef {{guard: string, trip: number}} Disproof
 */

/**
 * Gives by part the devices that a trip disproved as its guards: first the parts that were seen to stay live, then what
 * hangs on them, unless a trip of the same device left it dead. A face says nothing of what hangs on its device.
 * @param {RigPart[]} parts
 * @param {{run: RigRun}[]} runs that are there in the mode
 * @param {{trip: Trip, i: number}[]} told the trips of the mode
 * @param {Sighting[]} contradictions of the mode
 * @returns {Map<string, Disproof[]>}
 */
export function disprovedOf(parts, runs, told, contradictions) {
  /** @type {Map<string, Disproof[]>} */
  const found = new Map();
  const live = contradictions
    .filter(({ seen }) => seen === "live")
    .map((one) => ({ ...one, guard: told.find(({ i }) => i === one.trip)?.trip.device ?? "" }));
  /** @param {string} part @param {Disproof} how */
  const note = (part, { guard, trip }) => {
    const known = found.get(part) ?? [];
    if (!known.some((each) => each.guard === guard)) found.set(part, [...known, { guard, trip }]);
  };
  for (const one of live) note(one.part, one);
  const inverters = parts.filter(({ kind }) => kind === "inverter").map(({ id }) => id);
  for (const one of live.filter(({ part, guard }) => part !== guard)) {
    const dead = told.flatMap(({ trip }) => (trip.device === one.guard ? (trip.dead ?? []) : []));
    const hanging = new Set([one.part]);
    for (const start of hanging)
      for (const {
        run: { from, to },
      } of runs)
        if (from === start && !dead.includes(to) && !inverters.includes(to)) hanging.add(to);
    hanging.delete(one.part);
    for (const part of hanging) note(part, one);
  }
  return found;
}
