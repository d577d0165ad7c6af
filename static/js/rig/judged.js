// A rig’s map as it stands, held against what trip tests told since the wiring was last changed. The Python twin is
// fieldlog/reports/rig_map.py; both are tested from tests/cases/rig-trips.json.
import { TRIPPING } from "../engine/part-kinds.js";
import { protect } from "../engine/protect.js";
import { inItsMode, modesWithPower } from "../engine/trip-modes.js";
import { mapOf } from "./map-of.js";
import { momentOf } from "./rig-of.js";

/** @import { Protection } from "../engine/protect.js" */
/** @import { BodyRigMap, RigPart } from "../../../schemas/shapes/record.d.ts" */
/** @import { Chain, Rig } from "./rig-of.js" */

/**
 * @typedef {Chain<"trip-test">} Test
 * @typedef {{device: string, by: Test["body"]["by"], dead: string[], live: string[], mode: string|null}} Trip
 * @typedef {"dead"|"live"} PowerState
 * @typedef {{part: string, expected: PowerState, seen: PowerState, mode: string, trip: Trip, test: Test}} Contradiction
 * @typedef {{device: string, part: string, test: Test}} SelfContradiction a part that one trip says went dead and
 *   stayed live
 */

/**
 * @typedef {{guard: string, test: Test}} Disproof what the map says guards a part, and the trip that shows otherwise
 * @typedef {Omit<Protection, "disproved"> & {disproved: Record<string, Disproof[]>}} JudgedMode
 */

/**
 * @typedef {object} JudgedMap
 * @property {BodyRigMap} map
 * @property {boolean} isDrawn
 * @property {Chain<"rig-map">|null} drawn
 * @property {Record<string, JudgedMode>} modes under "" where the map has none
 * @property {Contradiction[]} contradictions
 * @property {SelfContradiction[]} toldBoth
 */

/** As many as the server takes. */
const MOST_TRIPS = 1000;

/** @param {Rig} rig @param {number} [most] trips that are held against it, the newest @returns {JudgedMap} */
export function judgedMap(rig, most = MOST_TRIPS) {
  const { map, isDrawn, drawn } = mapOf(rig);
  const { trips, toldBoth } = tripsOf(rig, map, most);
  const found = protect(
    map,
    trips.map(({ trip }) => inItsMode(map, trip)),
  );
  const modes = Object.fromEntries(
    Object.entries(found).map(([mode, each]) => [mode, { ...each, disproved: disproofs(each.disproved, trips) }]),
  );
  const contradictions = Object.entries(modes).flatMap(([mode, each]) =>
    each.contradictions.flatMap((one) => {
      const told = trips[one.trip];
      return told ? [{ ...one, mode, ...told }] : [];
    }),
  );
  return { map, isDrawn, drawn, modes, contradictions, toldBoth };
}

/**
 * @param {Protection["disproved"]} disproved
 * @param {{test: Test}[]} trips
 * @returns {JudgedMode["disproved"]}
 */
const disproofs = (disproved, trips) =>
  Object.fromEntries(
    Object.entries(disproved).map(([part, each]) => [
      part,
      each.flatMap(({ guard, trip }) => {
        const told = trips[trip];
        return told ? [{ guard, test: told.test }] : [];
      }),
    ]),
  );

/**
 * Gives what each device's newest trips say of each part; an older word about a part is passed over. So are trips of
 * a part that cannot trip, whatever device it names.
 * @param {Rig} rig
 * @param {BodyRigMap} map
 * @param {number} [most]
 * @returns {{trips: {trip: Trip, test: Test}[], toldBoth: SelfContradiction[]}}
 */
export function tripsOf(rig, map, most = MOST_TRIPS) {
  const changed = changedAt(rig, map);
  const outlets = new Map(
    map.parts.flatMap(({ outlet, id }) => (outlet ? [/** @type {[string, string]} */ ([outlet, id])] : [])),
  );
  const told = map.parts
    .filter(({ kind }) => TRIPPING.includes(kind))
    .flatMap((part) => {
      const device = rig.devices.find(({ id }) => id === part.device);
      const tests = device ? rig.newest("trip-test", device).filter((test) => test.body.tripped === true) : [];
      const powering = tests.length ? modesWithPower(map, part.id) : [];
      /** @type {NewerTrips} */
      const spoken = new Map();
      return tests.map((test) => ({
        test,
        ...tripOf(part, test, { outlets, changed, spoken, mode: modeOf(test.body, map, powering) }),
      }));
    });
  const toldBoth = told.flatMap(({ trip, test, both }) => both.map((part) => ({ device: trip.device, part, test })));
  const held = told.filter(({ trip }) => trip.dead.length || trip.live.length);
  return { trips: newest(held, most).map(({ trip, test }) => ({ trip, test })), toldBoth };
}

/**
 * Leaves out the oldest where there are more than a map takes; the order stays.
 * @template {{test: Test}} T
 * @param {T[]} held
 * @param {number} most
 */
function newest(held, most) {
  if (held.length <= most) return held;
  const last = held.map(({ test }) => momentOf(test)).sort((a, b) => b - a)[most - 1] ?? 0;
  return held.filter(({ test }) => momentOf(test) >= last).slice(0, most);
}

/**
 * When each part, or what it hangs on, was last changed; what was seen of it before tells nothing.
 * @param {Rig} rig
 * @param {BodyRigMap} map
 */
function changedAt(rig, { runs }) {
  /** @type {Map<string, number>} */
  const found = new Map();
  for (const change of rig.newest("change")) {
    const below = new Set(change.body.parts);
    for (const start of below) for (const { from, to } of runs) if (from === start) below.add(to);
    for (const part of below) if (!found.has(part)) found.set(part, momentOf(change));
  }
  return found;
}

/**
 * The mode in which the rig stood, null where nobody said and several are possible.
 * @param {Test["body"]} body
 * @param {BodyRigMap} map
 * @param {string[]} powering
 * @returns {string|null}
 */
function modeOf({ mode }, { modes }, powering) {
  if (typeof mode === "string" && Object.hasOwn(modes ?? {}, mode)) return mode;
  return (powering.length === 1 && powering[0]) || null;
}

/** @typedef {Map<string, Set<string|null>>} NewerTrips by part, the modes of which a newer trip told */

/**
 * @param {RigPart} part
 * @param {Test} test
 * @param {{outlets: Map<string, string>, changed: Map<string, number>, spoken: NewerTrips, mode: string|null}} known
 * @returns {{trip: Trip, both: string[]}}
 */
function tripOf(part, test, { outlets, changed, spoken, mode }) {
  const { by, face_dead: face, ...seen } = test.body;
  /** @param {string} id */
  const isNewer = (id) => (mode === null ? spoken.has(id) : Boolean(spoken.get(id)?.has(mode)));
  /** @param {string} id */
  const isOld = (id) => momentOf(test) < (changed.get(id) ?? -Infinity) || isNewer(id);
  /** @param {boolean} isDead */
  const own = (isDead) => (part.kind === "gfci-receptacle" && face === isDead ? [part.id] : []);
  /** @param {PowerState} how @param {boolean} isDead */
  const told = (how, isDead) =>
    [...new Set([...seen[how].flatMap((id) => outlets.get(id) ?? []), ...own(isDead)])].filter((id) => !isOld(id));
  const [allDead, allLive] = [told("dead", true), told("live", false)];
  const both = allDead.filter((id) => allLive.includes(id));
  const dead = allDead.filter((id) => !both.includes(id));
  const live = allLive.filter((id) => !both.includes(id));
  for (const id of [...dead, ...live]) spoken.set(id, (spoken.get(id) ?? new Set()).add(mode));
  return { trip: { device: part.id, by, dead, live, mode }, both };
}
