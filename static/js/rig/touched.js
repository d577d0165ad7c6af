// What a change touches, from the rows of the phone. The Python twin is fieldlog/reports/proving.py.
import { pairsOf } from "../check/pairs.js";
import { touchedBy } from "../engine/touched.js";
import { mapOfList } from "./map-of.js";

/** What an outlet counts as that the map has without its type; own choice: the usual one of a 120 V circuit. */
const USUAL_OUTLET = "5-15";
const OUTLET_KINDS = ["receptacle", "gfci-receptacle", "strip"];

/**
 * @param {import("./rig-of.js").Rig} rig
 * @param {import("./map-of.js").RigMap} map as it is now
 * @param {import("./rig-of.js").Noted} change
 * @returns {import("../engine/proving.js").Touched}
 */
export const touchedOf = (rig, map, change) => touchedBy(map, change.body.parts, pairsAt, runsSince(rig, change));

/** @param {Record<string, any>} part @returns {string[]} the pairs of its contacts, none where it cannot be probed */
export function pairsAt({ kind, outlet_type: noted }) {
  const type = noted ?? (OUTLET_KINDS.includes(kind) ? USUAL_OUTLET : null);
  return type ? pairsOf(type) : [];
}

/** The runs of each version of the map from the one that stood before a change; of all, if none is named. */
function runsSince(rig, { body }) {
  const drawn = rig.versions("rig-map");
  const place = (wanted) => drawn.findIndex(({ id }) => id === wanted);
  const { corrects = null, also_corrects: also } = drawn[place(body.map)] ?? {};
  const before = [corrects, ...(also ?? [])].map(place).filter((at) => at >= 0);
  if (!before.length) return [runsOfList(rig), ...drawn.map((record) => record.body.runs)];
  return drawn.slice(Math.min(...before)).map((record) => record.body.runs);
}

/** The runs that the list of outlets and devices stands for, by every guard that was ever noted. */
function runsOfList(rig) {
  const idOf = (record) => rig.outlets.find(({ ids }) => ids.includes(record.id))?.id;
  const guards = rig
    .versions("outlet")
    .filter(({ body }) => body.guard)
    .map((record) => ({ from: record.body.guard, to: idOf(record) }));
  return [...mapOfList(rig).runs, ...guards];
}
