// The map of a rig: the newest version that its owner drew, else what the list of outlets and devices stands for.
// The Python twin is fieldlog/model/derived_map.py.
import { OUTLET_AMPS } from "../engine/contacts.js";

/** @type {Pick<RigRun, "from_side">} */
const LOAD_SIDE = { from_side: "load" };

/** @import { BodyRigMap, RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @import { Chain, Rig } from "./rig-of.js" */
/** @typedef {BodyRigMap} RigMap */

/**
 * @param {Rig} rig
 * @returns {{map: RigMap, isDrawn: boolean, drawn: Chain<"rig-map">|null}} isDrawn: its owner drew it; then drawn is
 *   its record
 */
export function mapOf(rig) {
  const [drawn = null] = rig.newest("rig-map");
  return { map: drawn?.body ?? mapOfList(rig), isDrawn: drawn !== null, drawn };
}

/** @param {Rig} rig @returns {RigMap} what its list of outlets and devices stands for */
export function mapOfList({ body, outlets, devices }) {
  const cords = devices.filter((device) => device.body.type === "cord-gfci");
  const others = devices.filter((device) => !cords.includes(device));
  /** @type {RigPart} */
  const supply = { id: "supply", kind: "supply", name: "Pedestal outlet", amps: OUTLET_AMPS[body.outlet] };
  /** @type {RigPart} */
  const inlet = { id: "inlet", kind: "inlet", name: "Inlet", amps: OUTLET_AMPS[body.outlet] };
  const parts = [
    ...(cords.length ? [supply] : []),
    ...cords.map(devicePart),
    inlet,
    ...others.map(devicePart),
    ...outlets.map(outletPart),
  ];
  return { parts, runs: [...waysIn(cords), ...waysOn(outlets, others)], modes: {} };
}

/** @param {string} name */
const short = (name) => [...name].slice(0, 60).join("");

/** @param {Chain<"device">} device @returns {RigPart} */
function devicePart({ id, body: { name, type } }) {
  const part = { id, name: short(name), device: id };
  if (type === "gfci-breaker") return { ...part, kind: "breaker", gfci: true };
  return { ...part, kind: /** @type {RigPart["kind"]} */ (type) }; // a cord set is none of the devices
}

/** @param {Chain<"outlet">} outlet @returns {RigPart} */
const outletPart = ({ id, body: { name, outlet } }) => ({
  id,
  kind: "receptacle",
  name: short(name),
  outlet_type: outlet,
  amps: OUTLET_AMPS[outlet],
  outlet: id,
});

/**
 * From the pedestal through every device in the cord to the inlet.
 * @param {Chain<"device">[]} cords
 * @returns {RigRun[]}
 */
function waysIn(cords) {
  if (!cords.length) return [];
  const stops = ["supply", ...cords.map(({ id }) => id), "inlet"];
  return stops.slice(1).map((to, i) => ({ from: /** @type {string} */ (stops[i]), to, ...(i ? LOAD_SIDE : {}) }));
}

/** @param {Chain<"outlet">[]} outlets @param {Chain<"device">[]} devices @returns {RigRun[]} */
function waysOn(outlets, devices) {
  const ids = devices.map(({ id }) => id);
  /** @param {Chain<"outlet">} outlet @returns {RigRun} */
  const guarded = ({ id, body: { guard } }) =>
    guard && ids.includes(guard) ? { from: guard, to: id, ...LOAD_SIDE } : { from: "inlet", to: id };
  return [...ids.map((to) => ({ from: "inlet", to })), ...outlets.map(guarded)];
}
