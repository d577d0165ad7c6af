// The wires inside the rig whose ohms count, from the branches that have them. The twin of
// fieldlog/engine/planning/wires.py.

/** @import { Branch, PlannedLoad, Wire } from "./plan-circuit.js" */

/**
 * Each wire stands after the one that it begins at.
 * @param {Branch[]} branches
 * @param {PlannedLoad[]} loads
 * @returns {{wires: Wire[], within: Map<number, number>}} within: by place of a load the wire that it hangs on
 */
export function wiresOf(branches, loads) {
  /** @type {Wire[]} */
  const wires = [];
  /** @type {Map<number, number>} */
  const within = new Map();
  const told = branches.filter(({ ohms }) => ohms).sort((one, other) => other.loads.length - one.loads.length);
  for (const { ohms, amps, loads: places } of told) {
    const [first] = places;
    const parent = first === undefined ? -1 : (within.get(first) ?? -1);
    wires.push({ ohms: ohms ?? 0, amps, parent, leg: (first === undefined ? null : loads[first]?.leg) ?? "x" });
    for (const place of places) within.set(place, wires.length - 1);
  }
  return { wires, within };
}
