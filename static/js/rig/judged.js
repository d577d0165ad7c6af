// A rig’s map as it stands, held against what trip tests told since the wiring was last changed. The Python twin is
// fieldlog/reports/rig_map.py; both are tested from tests/cases/rig-trips.json.
import { protect, TRIPPING } from "../engine/protect.js";
import { inItsMode, modesWithPower } from "../engine/trip-modes.js";
import { mapOf } from "./map-of.js";
import { momentOf } from "./rig-of.js";

/**
 * @typedef {{device: string, by: string, dead: string[], live: string[], mode: string|null}} Trip
 * @typedef {import("./rig-of.js").Noted} Noted
 * @typedef {{part: string, expected: string, seen: string, mode: string, trip: Trip, test: Noted}} Contradiction
 * @typedef {{device: string, part: string, test: Noted}} ToldBoth a part that one trip says went dead and stayed live
 * @typedef {{map: import("./map-of.js").RigMap, isDrawn: boolean, drawn: Noted|null, modes: Record<string,
 *   import("../engine/protect.js").Protection>, contradictions: Contradiction[], toldBoth: ToldBoth[]}} JudgedMap
 */

/** @param {import("./rig-of.js").Rig} rig @returns {JudgedMap} modes: under "" where the map has none */
export function judgedMap(rig) {
  const { map, isDrawn, drawn } = mapOf(rig);
  const { trips, toldBoth } = tripsOf(rig, map);
  const modes = protect(
    map,
    trips.map(({ trip }) => inItsMode(map, trip)),
  );
  const contradictions = Object.entries(modes).flatMap(([mode, found]) =>
    found.contradictions.map((each) => ({ ...each, mode, ...trips[each.trip] })),
  );
  return { map, isDrawn, drawn, modes, contradictions, toldBoth };
}

/**
 * Gives what each device's newest trips say of each part; an older word about a part is passed over. So are trips of
 * a part that cannot trip, whatever device it names.
 * @param {import("./rig-of.js").Rig} rig
 * @param {import("./map-of.js").RigMap} map
 * @returns {{trips: {trip: Trip, test: Noted}[], toldBoth: ToldBoth[]}}
 */
export function tripsOf(rig, map) {
  const changed = changedAt(rig, map);
  const outlets = new Map(map.parts.filter(({ outlet }) => outlet).map(({ outlet, id }) => [outlet, id]));
  const told = map.parts
    .filter(({ kind }) => TRIPPING.includes(kind))
    .flatMap((part) => {
      const device = rig.devices.find(({ id }) => id === part.device);
      const tests = device ? rig.newest("trip-test", device).filter((test) => test.body.tripped === true) : [];
      const powering = tests.length ? modesWithPower(map, part.id) : [];
      const spoken = new Map();
      return tests.map((test) => ({
        test,
        ...tripOf(part, test, { outlets, changed, spoken, mode: modeOf(test.body, map, powering) }),
      }));
    });
  const toldBoth = told.flatMap(({ trip, test, both }) => both.map((part) => ({ device: trip.device, part, test })));
  return {
    trips: told.filter(({ trip }) => trip.dead.length || trip.live.length).map(({ trip, test }) => ({ trip, test })),
    toldBoth,
  };
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

/** The mode in which the rig stood, null where nobody said and several are possible. */
function modeOf({ mode }, { modes }, powering) {
  if (Object.hasOwn(modes ?? {}, mode ?? "")) return mode;
  return powering.length === 1 && powering[0] ? powering[0] : null;
}

function tripOf(part, test, { outlets, changed, spoken, mode }) {
  const { by, face_dead: face, ...seen } = test.body;
  const isNewer = (id) => (mode === null ? spoken.has(id) : Boolean(spoken.get(id)?.has(mode)));
  const isOld = (id) => momentOf(test) < changed.get(id) || isNewer(id);
  const own = (isDead) => (part.kind === "gfci-receptacle" && face === isDead ? [part.id] : []);
  const told = (how, isDead) =>
    [...new Set([...seen[how].filter((id) => outlets.has(id)).map((id) => outlets.get(id)), ...own(isDead)])].filter(
      (id) => !isOld(id),
    );
  const [allDead, allLive] = [told("dead", true), told("live", false)];
  const both = allDead.filter((id) => allLive.includes(id));
  const [dead, live] = [allDead, allLive].map((ids) => ids.filter((id) => !both.includes(id)));
  for (const id of [...dead, ...live]) spoken.set(id, (spoken.get(id) ?? new Set()).add(mode));
  return { trip: { device: part.id, by, dead, live, mode }, both };
}
