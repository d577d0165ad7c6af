// The map of a rig: the newest version that its owner drew, else what the list of outlets and devices stands for.
// The Python twin is fieldlog/model/derived_map.py.

/** Rating of an outlet by its configuration [A]; ANSI/NEMA WD 6. */
const AMPS = { "5-15": 15, "5-20": 20, "TT-30": 30, "14-50": 50 };

/**
 * @typedef {{parts: Record<string, any>[], runs: Record<string, any>[], modes: Record<string, {without: number[]}>}}
 *   RigMap
 */

/**
 * @param {import("./rig-of.js").Rig} rig
 * @returns {{map: RigMap, isDrawn: boolean, drawn: import("./rig-of.js").Noted|null}} isDrawn: its owner drew it;
 *   then drawn is its record
 */
export function mapOf(rig) {
  const [drawn = null] = rig.newest("rig-map");
  return { map: drawn?.body ?? mapOfList(rig), isDrawn: drawn !== null, drawn };
}

/** @param {import("./rig-of.js").Rig} rig @returns {RigMap} what its list of outlets and devices stands for */
export function mapOfList({ body, outlets, devices }) {
  const cords = devices.filter((device) => device.body.type === "cord-gfci");
  const others = devices.filter((device) => !cords.includes(device));
  const supply = { id: "supply", kind: "supply", name: "Pedestal outlet", amps: AMPS[body.outlet] };
  const inlet = { id: "inlet", kind: "inlet", name: "Inlet", amps: AMPS[body.outlet] };
  const parts = [
    ...(cords.length ? [supply] : []),
    ...cords.map(devicePart),
    inlet,
    ...others.map(devicePart),
    ...outlets.map(outletPart),
  ];
  return { parts, runs: [...waysIn(cords), ...waysOn(outlets, others)], modes: {} };
}

const short = (name) => [...name].slice(0, 60).join("");

function devicePart({ id, body: { name, type } }) {
  const part = { id, name: short(name), device: id };
  return type === "gfci-breaker" ? { ...part, kind: "breaker", gfci: true } : { ...part, kind: type };
}

const outletPart = ({ id, body: { name, outlet } }) => ({
  id,
  kind: "receptacle",
  name: short(name),
  outlet_type: outlet,
  amps: AMPS[outlet],
  outlet: id,
});

/** From the pedestal through every device in the cord to the inlet. */
function waysIn(cords) {
  if (!cords.length) return [];
  const stops = ["supply", ...cords.map(({ id }) => id), "inlet"];
  return stops.slice(1).map((to, i) => ({ from: stops[i], to, ...(i ? { from_side: "load" } : {}) }));
}

function waysOn(outlets, devices) {
  const ids = devices.map(({ id }) => id);
  const guarded = ({ id, body: { guard } }) =>
    ids.includes(guard) ? { from: guard, to: id, from_side: "load" } : { from: "inlet", to: id };
  return [...ids.map((to) => ({ from: "inlet", to })), ...outlets.map(guarded)];
}
