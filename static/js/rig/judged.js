// A rig’s map as it stands, held against what trip tests told since the wiring was last changed. The Python twin is
// fieldlog/reports/rig_map.py; both are tested from tests/cases/rig-trips.json.
import { protect } from "../engine/protect.js";
import { mapOf } from "./map-of.js";
import { momentOf } from "./rig-of.js";

/**
 * @typedef {{device: string, by: string, dead: string[], live: string[]}} Trip
 * @typedef {{part: string, expected: string, seen: string, mode: string, trip: Trip, test: import("./rig-of.js").Noted}} Contradiction
 * @typedef {{map: import("./map-of.js").RigMap, isDrawn: boolean, drawn: import("./rig-of.js").Noted|null, modes: Record<string, import("../engine/protect.js").Protection>, contradictions: Contradiction[]}} JudgedMap
 */

/** @param {import("./rig-of.js").Rig} rig @returns {JudgedMap} modes: under "" where the map has none */
export function judgedMap(rig) {
  const { map, isDrawn, drawn } = mapOf(rig);
  const told = tripsOf(rig, map);
  const modes = protect(map, told.map(({ trip }) => trip));
  const contradictions = Object.entries(modes).flatMap(([mode, found]) => found.contradictions.map((each) => ({ ...each, mode, ...told[each.trip] })));
  return { map, isDrawn, drawn, modes, contradictions };
}

/**
 * Gives what each device's newest trips say of each part; an older word about a part is passed over.
 * @param {import("./rig-of.js").Rig} rig
 * @param {import("./map-of.js").RigMap} map
 * @returns {{trip: Trip, test: import("./rig-of.js").Noted}[]}
 */
export function tripsOf(rig, map) {
  const changed = changedAt(rig, map);
  const parts = new Map(map.parts.filter(({ outlet }) => outlet).map(({ outlet, id }) => [outlet, id]));
  return map.parts.flatMap((part) => {
    const device = rig.devices.find(({ id }) => id === part.device);
    const spoken = new Set();
    const tests = device ? rig.newest("trip-test", device).filter((test) => test.body.tripped === true) : [];
    return tests.map((test) => ({ trip: tripOf(part, test.body, { parts, spoken, isOld: (id) => momentOf(test) < changed.get(id) }), test })).filter(({ trip }) => trip.dead.length || trip.live.length);
  });
}

/** When each part, or what it hangs on, was last changed; what was seen of it before tells nothing. */
function changedAt(rig, { runs }) {
  const found = new Map();
  for (const change of rig.newest("change")) {
    const below = new Set(change.body.parts);
    for (const start of below) for (const { from, to } of runs) if (from === start) below.add(to);
    for (const part of below) if (!found.has(part)) found.set(part, momentOf(change));
  }
  return found;
}

function tripOf(part, { by, face_dead: face, ...seen }, { parts, spoken, isOld }) {
  const own = (isDead) => (part.kind === "gfci-receptacle" && face === isDead ? [part.id] : []);
  const told = (how, isDead) => [...new Set([...seen[how].filter((id) => parts.has(id)).map((id) => parts.get(id)), ...own(isDead)])].filter((id) => !spoken.has(id) && !isOld(id));
  const [dead, live] = [told("dead", true), told("live", false)];
  [...dead, ...live].forEach((id) => spoken.add(id));
  return { device: part.id, by, dead, live };
}
