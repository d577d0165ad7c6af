// The steps of a round: what of a rig is tested or looked at, in the order of a walk, and how far each is.
import { spokenDay } from "../lib/times.js";
import { isExposed, isGuard, momentOf, partsOf } from "../rig/rig-of.js";

/** @import { BodyRigMap } from "../../../schemas/shapes/record.d.ts" */
/** @import { LookPoint } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { DueItem } from "../lib/due-items.js" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */

/** @typedef {"cord"|"inlet"|"alarms"|"skin"|"surge"|"set"|"set-look"} LookTarget */

/**
 * @typedef {object} Step
 * @property {string} key
 * @property {"device"|"outlet"|"look"} what
 * @property {string|null} subject
 * @property {LookTarget|null} of what else than an outlet is looked at; set is the test of a cord set with a meter
 * @property {string} name
 * @property {DueItem[]} due what the rules say of it
 * @property {DueItem[]} [anew] whose incident asks for it again, where that is not what is due
 * @property {boolean} isDue
 */

/**
 * Lists every step that a rig has. A device is pressed first, since an outlet that it left dead shows when it is
 * tested.
 * @param {Rig} rig
 * @param {BodyRigMap} map
 * @param {DueItem[]} due items by the rules
 * @returns {Step[]}
 */
export function stepsOf(rig, map, due) {
  /** @param {string[]} whats @param {string|null} subject */
  const owed = (whats, subject) => due.filter(({ thing }) => whats.includes(thing.what) && thing.subject === subject);
  /**
   * @param {Pick<Step, "what"|"subject"|"name">} members
   * @param {DueItem[]} found
   * @param {LookTarget|null} of
   * @returns {Step}
   */
  const made = ({ what, subject, name }, found, of = null) => ({
    key: subject && of ? `${of}-${subject}` : [what, subject ?? of].join("-"),
    what,
    subject,
    of,
    name,
    due: found,
    isDue: found.some(isDue),
  });
  /** @param {"device"|"outlet"} what @param {Chain<"device">|Chain<"outlet">} noted */
  const test = (what, { id, body }) => made({ what, subject: id, name: body.name }, owed([what, `${what}-loaded`], id));
  /** @param {Chain<"outlet">} outlet */
  const lookAt = ({ id, body }) =>
    made({ what: "look", subject: id, name: `Look at ${body.name}` }, owed(["outlet-look"], id));
  const devices = rig.devices.filter(isGuard).map((device) => test("device", device));
  const outlets = rig.outlets.flatMap((outlet) => [
    test("outlet", outlet),
    ...(isExposed(map, outlet) ? [lookAt(outlet)] : []),
  ]);
  const looks = /** @type {LookTarget[]} */ (["cord", "inlet", "skin", "alarms", "surge"]).map((of) =>
    made({ what: "look", subject: null, name: NAMES[of] ?? of }, owed([of === "inlet" ? "cord" : of], null), of),
  );
  const asked = looks.filter(({ of, isDue: owes }) => of !== "surge" || owes);
  const sets = rig.sets
    .filter(({ body }) => !body.retired)
    .flatMap(({ id, body: { name } }) => [
      made({ what: "look", subject: id, name }, owed(["set", "set-fixed"], id), "set"),
      {
        ...made({ what: "look", subject: id, name: `${name}: look before use` }, [], "set-look"),
        anew: owed(["set", "set-fixed"], id),
      },
    ]);
  return devices.length || outlets.length ? [...sets, ...devices, ...outlets, ...asked] : sets;
}

/** @param {URLSearchParams} wanted what the address asks for @returns {string|undefined} the key of a step */
export const keyIn = (wanted) =>
  wanted.get("at") ??
  ["device", "outlet"].filter((kind) => wanted.has(kind)).map((kind) => `${kind}-${wanted.get(kind)}`)[0];

/** @type {Record<string, string>} */
const NAMES = {
  cord: "The cord",
  inlet: "The inlet",
  skin: "The rig’s skin",
  alarms: "Smoke and gas alarms",
  surge: "Surge protector",
};

/**
 * Gives the points that a step looks at; what the map says does not apply is not asked.
 * @param {LookPoint[]} looks entries of the table of looks
 * @param {BodyRigMap} map
 * @param {Step} step
 * @param {number} [hots] of a cord set
 */
export function pointsOf(looks, map, { of, subject }, hots = 1) {
  const wanted = of ?? "outlet";
  const places = map.parts.filter(({ outlet }) => outlet && outlet === subject).flatMap(({ where }) => where ?? []);
  return looks.filter(
    (look) =>
      (look.of === wanted || look.also?.some((also) => also === wanted)) &&
      (look.hots ?? hots) <= hots &&
      (!look.where || look.where.some((place) => places.includes(place))),
  );
}

/** @param {Step} step @returns {DueItem|undefined} the load that is due at an outlet, whatever its lamps showed */
export const loadDue = ({ due }) => due.find((item) => item.thing.what === "outlet-loaded" && isDue(item));

/** @param {DueItem} item @returns {boolean} */
export const isDue = ({ standing }) => standing !== "later";

/**
 * Finds the test of an outlet that was made on its own page during the round.
 * @param {Rig} rig
 * @param {Step} step
 * @param {string} since when the round began
 * @returns {Chain<"outlet-test">|undefined}
 */
export function madeElsewhere(rig, step, since) {
  const outlet = rig.outlets.find(({ id }) => id === step.subject);
  const [last] = step.what === "outlet" && outlet ? rig.newest("outlet-test", outlet) : [];
  return last && momentOf(last) >= Date.parse(since) ? last : undefined;
}

/** Whether an incident makes a step due. @param {Step} step @returns {boolean} */
export const isStruck = ({ due }) => due.some((item) => isDue(item) && Boolean(item.thing.struck));

/**
 * The incident that makes a step due anew after it was noted: what was found before it shows nothing.
 * @param {Step} step
 * @param {Chain<any>|undefined} noted the step's record of this round
 * @returns {string|null} its name, null where none came since
 */
export function struckSince({ due, anew = due }, noted) {
  const since = anew.find(({ thing: { struck } }) => noted && struck?.at !== undefined && struck.at > momentOf(noted));
  return since?.thing.struck?.name ?? null;
}

/** @type {Record<string, string>} */
const NEVER = {
  "outlet-loaded": "never tested under load",
  "outlet-look": "cover, cable and wet never looked at",
  ground: "its ground never shown",
  cord: "never looked at",
  alarms: "buttons never noted",
  skin: "never read in a round",
  set: "never tested: before first use",
  "set-fixed": "never tested: before first use",
};
/** @type {Record<string, string>} */
const SORTS = {
  "outlet-loaded": "under load ",
  "outlet-look": "a look at cover, cable and wet ",
  ground: "its ground ",
};

/**
 * Says how a thing stands, in a few words.
 * @param {Pick<DueItem, "standing"|"next"> & {thing: {what: string, struck?: DueItem["thing"]["struck"]}}} item
 * @returns {string}
 */
export function dueWords({ thing, standing, next }) {
  if (standing === "failed" && thing.what.startsWith("set"))
    return "found bad: out of use until mended, looked at and every conductor shown";
  if (standing === "failed") return `${thing.what === "ground" ? SORTS.ground : ""}failed at its last test`;
  const { struck } = thing;
  if (struck)
    return `${SORTS[thing.what] ?? ""}${struck.name} noted ${spokenDay(struck.day)}: due until ${struck.clears}`;
  if (standing === "never") return NEVER[thing.what] ?? "never tested";
  const what = SORTS[thing.what] ?? "";
  if (standing === "today") return `${what}due today`;
  return `${what}${standing === "overdue" ? "overdue since" : "next due"} ${spokenDay(next ?? "")}`;
}

/**
 * @param {Rig} rig
 * @param {BodyRigMap} map
 * @param {string} device
 * @returns {Chain<"outlet">[]} the outlets that a trip of it may leave dead; its own face is asked
 *   for by itself
 */
export function outletsBeside({ outlets, devices }, map, device) {
  const own = devices.filter(({ id }) => id === device).flatMap((noted) => partsOf(map, "device", noted));
  return outlets.filter((outlet) => !partsOf(map, "outlet", outlet).some((part) => own.includes(part)));
}
