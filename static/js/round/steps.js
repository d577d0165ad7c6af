// The steps of a round: what of a rig is tested or looked at, in the order of a walk, and how far each is.
import { spokenDay } from "../lib/times.js";
import { isExposed, isGuard, partsOf } from "../rig/due.js";
import { momentOf } from "../rig/rig-of.js";

/** @typedef {import("../rig/rig-of.js").Rig} Rig */

/**
 * @typedef {object} Step
 * @property {string} key
 * @property {"device"|"outlet"|"look"} what
 * @property {string|null} subject
 * @property {"cord"|"inlet"|"alarms"|null} of what else than an outlet is looked at
 * @property {string} name
 * @property {any[]} due what the rules say of it
 * @property {boolean} isDue
 */

/**
 * Lists every step that a rig has. A device is pressed first, since an outlet that it left dead shows when it is
 * tested.
 * @param {Rig} rig
 * @param {import("../rig/map-of.js").RigMap} map
 * @param {any[]} due items by the rules
 * @returns {Step[]}
 */
export function stepsOf(rig, map, due) {
  const owed = (whats, subject) => due.filter(({ thing }) => whats.includes(thing.what) && thing.subject === subject);
  const step = (what, { id: subject = null, body } = {}, of = null) => {
    const found =
      what === "look" ? owed([of === "alarms" ? of : "cord"], null) : owed([what, `${what}-loaded`], subject);
    return {
      key: [what, subject ?? of].join("-"),
      what,
      subject,
      of,
      name: body?.name ?? NAMES[of],
      due: found,
      isDue: found.some(isDue),
    };
  };
  const lookAt = ({ id, body }) => {
    const found = owed(["outlet-look"], id);
    return {
      key: `look-${id}`,
      what: "look",
      subject: id,
      of: null,
      name: `Look at ${body.name}`,
      due: found,
      isDue: found.some(isDue),
    };
  };
  const devices = rig.devices.filter(isGuard).map((device) => step("device", device));
  const outlets = rig.outlets.flatMap((outlet) => [
    step("outlet", outlet),
    ...(isExposed(map, outlet) ? [lookAt(outlet)] : []),
  ]);
  const looks = ["cord", "inlet", "alarms"].map((of) => step("look", {}, of));
  return devices.length || outlets.length ? [...devices, ...outlets, ...looks] : [];
}

/** @type {Record<string, string>} */
const NAMES = { cord: "The cord", inlet: "The inlet", alarms: "Smoke and gas alarms" };

/**
 * Gives the points that a step looks at; what the map says does not apply is not asked.
 * @param {Record<string, any>[]} looks entries of the table of looks
 * @param {import("../rig/map-of.js").RigMap} map
 * @param {Step} step
 */
export function pointsOf(looks, map, { of, subject }) {
  const places = map.parts.filter(({ outlet }) => outlet && outlet === subject).flatMap(({ where }) => where ?? []);
  return looks.filter(
    (look) => look.of === (of ?? "outlet") && (!look.where || look.where.some((place) => places.includes(place))),
  );
}

/** @param {Step} step @returns {any|undefined} the load that is due at an outlet, whatever its lamps showed */
export const loadDue = ({ due }) => due.find((item) => item.thing.what === "outlet-loaded" && isDue(item));

/** @param {any} item @returns {boolean} */
export const isDue = ({ standing }) => standing !== "later";

/**
 * Finds the test of an outlet that was made on its own page during the round.
 * @param {Rig} rig
 * @param {Step} step
 * @param {string} since when the round began
 * @returns {import("../rig/rig-of.js").Noted|undefined}
 */
export function madeElsewhere(rig, step, since) {
  const outlet = rig.outlets.find(({ id }) => id === step.subject);
  const [last] = step.what === "outlet" && outlet ? rig.newest("outlet-test", outlet) : [];
  return last && momentOf(last) >= Date.parse(since) ? last : undefined;
}

const NEVER = {
  "outlet-loaded": "never tested under load",
  "outlet-look": "cover, cable and wet never looked at",
  ground: "its ground never shown",
  cord: "never looked at",
  alarms: "buttons never noted",
};
const SORTS = {
  "outlet-loaded": "under load ",
  "outlet-look": "a look at cover, cable and wet ",
  ground: "its ground ",
};

/**
 * Says how a thing stands, in a few words.
 * @param {{thing: {what: string}, standing: string, next: string|null}} item
 * @returns {string}
 */
export function dueWords({ thing, standing, next }) {
  if (standing === "failed") return `${thing.what === "ground" ? SORTS.ground : ""}failed at its last test`;
  if (standing === "never") return NEVER[thing.what] ?? "never tested";
  const what = SORTS[thing.what] ?? "";
  if (standing === "today") return `${what}due today`;
  return `${what}${standing === "overdue" ? "overdue since" : "next due"} ${spokenDay(next)}`;
}

/**
 * @param {Rig} rig
 * @param {import("../rig/map-of.js").RigMap} map
 * @param {string} device
 * @returns {import("../rig/rig-of.js").Noted[]} the outlets that a trip of it may leave dead; its own face is asked
 *   for by itself
 */
export function outletsBeside({ outlets, devices }, map, device) {
  const own = partsOf(
    map,
    "device",
    devices.find(({ id }) => id === device),
  );
  return outlets.filter((outlet) => !partsOf(map, "outlet", outlet).some((part) => own.includes(part)));
}
