// What a change touches, from the rows of the phone. The Python twin is fieldlog/reports/proving.py.

import { pairsOf } from "../check/pairs.js";
import { PLUGS } from "../engine/part-kinds.js";
import { touchedBy } from "../engine/touched.js";
import { mapOfList } from "./map-of.js";

/** @import { ChangeScope } from "../engine/proving.js" */
/** @import { BodyRigMap, RecordOutlet, RigPart } from "../../../schemas/shapes/record.d.ts" */
/** @import { Chain, Rig } from "./rig-of.js" */

/** What an outlet counts as that the map has without its type; own choice: the usual one of a 120 V circuit. */
const USUAL_OUTLET = "5-15";

/**
 * @param {Rig} rig
 * @param {BodyRigMap} map as it is now
 * @param {Chain<"change">} change
 * @returns {ChangeScope}
 */
export function touchedOf(rig, map, change) {
  const found = touchedBy(map, change.body.parts, pairsAt, runsSince(rig, change));
  return rig.versions("rig-map").length ? found : { ...found, relays: null }; // a list tells of no relay
}

/**
 * @param {Pick<RigPart, "kind"|"outlet_type">} part
 * @returns {string[]} the pairs of its contacts, none where it cannot be probed
 */
export function pairsAt({ kind, outlet_type: noted }) {
  const type = noted ?? (PLUGS.includes(kind) ? USUAL_OUTLET : null);
  return type ? pairsOf(type) : [];
}

/**
 * The runs of each version of the map from the one that stood before a change; of all, if none is named.
 * @param {Rig} rig
 * @param {Chain<"change">} change
 * @returns {{from: string, to: string}[][]}
 */
function runsSince(rig, { body }) {
  const drawn = rig.versions("rig-map");
  /** @param {string|null} wanted */
  const place = (wanted) => drawn.findIndex(({ id }) => id === wanted);
  const { corrects, also_corrects: also } = drawn[place(body.map)] ?? { corrects: null, also_corrects: [] };
  const before = [corrects, ...(also ?? [])].map(place).filter((at) => at >= 0);
  if (!before.length) return [runsOfList(rig), ...drawn.map((record) => record.body.runs)];
  return drawn.slice(Math.min(...before)).map((record) => record.body.runs);
}

/**
 * The runs that the list of outlets and devices stands for, by every guard that was ever noted.
 * @param {Rig} rig
 * @returns {{from: string, to: string}[]}
 */
function runsOfList(rig) {
  /** @param {RecordOutlet} record */
  const idOf = (record) => rig.outlets.find(({ ids }) => ids.includes(record.id))?.id ?? "";
  const guards = rig
    .versions("outlet")
    .flatMap((record) => (record.body.guard ? [{ from: record.body.guard, to: idOf(record) }] : []));
  return [...mapOfList(rig).runs, ...guards];
}
