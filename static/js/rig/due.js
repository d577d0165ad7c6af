// What of a rig comes round, from the rows of the phone. The Python twin is fieldlog/reports/due.py; both are tested
// from tests/cases/due-rows.json.
import { daysAfter } from "../lib/due.js";
import { dueItems } from "../lib/due-items.js";
import { dayOf } from "../lib/times.js";
import { mapOf } from "./map-of.js";
import { momentOf } from "./rig-of.js";
import { touchedOf } from "./touched.js";

/** @typedef {import("./rig-of.js").Rig} Rig */
/** @typedef {import("./rig-of.js").Noted} Noted */

/**
 * Says what of a rig is due when, gravest first.
 * @param {Rig} rig
 * @param {Record<string, any>[]} rules entries of the table of what comes round
 * @param {string} today
 */
export function dueOf(rig, rules, today) {
  const { assured_months: months = null, season_starts: season = null } = rig.body;
  return dueItems(things(rig, { today, isDated: datedBy(rules, today) }), rules, today, {
    chosen: months === null ? [] : [`assured-${months}`],
    season,
  });
}

/**
 * Says of a record whether its time can be that of a test; one far ahead comes from a wrong clock.
 * @param {Record<string, any>[]} rules entries of the table of what comes round
 * @param {string} today
 * @returns {(noted: Noted) => boolean}
 */
export function datedBy(rules, today) {
  const { ahead_days: days = null } = rules.find(({ ahead_days: each }) => each !== undefined) ?? {};
  return (noted) => days === null || day(noted) <= daysAfter(today, days);
}

/**
 * @param {Rig} rig
 * @param {{today: string, isDated: (noted: Noted) => boolean}} how
 * @returns {import("../lib/due-items.js").Thing[]}
 */
function things(rig, { today, isDated }) {
  const { map } = mapOf(rig);
  const asked = { rig, map, isDated, changes: changesOf(rig, map), atMostToday: (noted) => earlier(day(noted), today) };
  const all = [
    ...rig.devices.filter(isGuard).map((device) => deviceThing(asked, device)),
    ...rig.outlets.flatMap((outlet) => [
      ...outletThings(asked, outlet),
      ...(isExposed(map, outlet) ? [lookThing(asked, outlet)] : []),
    ]),
    ...rig.outlets.map((outlet) => groundThing(asked, outlet)),
  ];
  if (!rig.devices.length && !rig.outlets.length) return [];
  return [
    ...all,
    thing("cord", "Cord and inlet", earlier(day(lastLook(asked, "cord")), day(lastLook(asked, "inlet")))),
    thing("alarms", "Smoke and gas alarms", day(lastLook(asked, "alarms"))),
  ];
}

const thing = (what, name, last) => ({ what, subject: null, name, last });
const day = (noted) => (noted ? dayOf(noted.record.observed_at) : null);
const earlier = (one, other) => (one && other ? [one, other].sort()[0] : null);

/** A plain breaker has no TEST to press. @param {Noted} device @returns {boolean} */
export const isGuard = ({ body }) => body.type !== "breaker";

/**
 * A plug-in tester decides nothing when the device stays on, so only its own TEST counts, and only where the outcome
 * was noted.
 */
export const isPress = ({ body }) => body.by === "button" && body.tripped !== null;

function deviceThing(asked, device) {
  const trips = asked.rig.newest("trip-test", device);
  const last = trips.find((trip) => isPress(trip) && asked.isDated(trip));
  return thingOf(asked, "device", device, { last, failed: downTo(last, trips).find(hasFailed) });
}

function outletThings(asked, outlet) {
  const tests = asked.rig.newest("outlet-test", outlet);
  return [
    outletThing(asked, "outlet", outlet, tests),
    outletThing(asked, "outlet-loaded", outlet, tests.filter(isReadUnderLoad)),
  ];
}

function outletThing(asked, what, outlet, tests) {
  const last = tests.find((test) => isRead(test) && asked.isDated(test));
  return thingOf(asked, what, outlet, { last, failed: downTo(last, tests).find(isNotToBeUsed) });
}

function groundThing(asked, outlet) {
  const parts = partsOf(asked.map, "outlet", outlet);
  const proofs = asked.rig
    .newest("proof")
    .filter(({ body: { step, part } }) => step === "ground-continuous" && parts.includes(part));
  const last = proofs.find((proof) => proof.body.outcome === "good" && asked.isDated(proof));
  return thingOf(asked, "ground", outlet, {
    last,
    failed: downTo(last, proofs).find(({ body }) => body.outcome === "bad"),
  });
}

function thingOf({ changes, atMostToday }, what, noted, { last, failed }) {
  const changed = changedAfter(changes(what === "device" ? "device" : "outlet", noted), last);
  return {
    what,
    subject: noted.id,
    name: noted.body.name,
    last: day(last),
    failed: atMostToday(failed),
    changed: atMostToday(changed),
  };
}

/** From the newest to the last that counts: one that settles nothing hides no failure. */
const downTo = (last, tests) => (last ? tests.slice(0, tests.indexOf(last) + 1) : tests);

/** A plug-in tester decides nothing where the device stays on. */
const hasFailed = ({ body: { by, tripped, face_dead: face, reset } }) =>
  !(by === "external" && tripped === false) && [tripped, face, reset].includes(false);

const isNotToBeUsed = ({ body }) => body.judgement.verdict === "do-not-use";

const setsOf = ({ body: { check } }) => [check, ...(check.more ?? [])];

/** A look alone does not show how an outlet is wired. */
const isRead = (test) => isReadUnderLoad(test) || setsOf(test).some(({ volts, lamps }) => volts || lamps);

/** A load alone, with no volts read, shows no joint. */
const isReadUnderLoad = (test) => setsOf(test).some(({ loaded }) => loaded?.volts);

/** Outside or near water. @param {import("./map-of.js").RigMap} map @param {Noted} outlet @returns {boolean} */
export const isExposed = (map, outlet) => map.parts.some((part) => part.outlet === outlet.id && part.where?.length);

const lookThing = (asked, outlet) => ({
  what: "outlet-look",
  subject: outlet.id,
  name: outlet.body.name,
  last: day(lastLook(asked, "outlet", outlet)),
});

/** The newest look at which anything was looked at. */
const lastLook = ({ rig, isDated }, of, noted) =>
  rig
    .newest("look", noted)
    .find((look) => look.body.of === of && Object.keys(look.body.points).length && isDated(look));

export const isLoaded = ({ body: { check } }) =>
  "loaded" in check || Boolean(check.more?.some((more) => "loaded" in more));

/**
 * @param {import("./map-of.js").RigMap} map
 * @param {"outlet"|"device"} kind
 * @param {Noted} noted
 * @returns {string[]} the ids of the parts that stand for it
 */
export const partsOf = (map, kind, noted) => map.parts.filter((part) => part[kind] === noted.id).map(({ id }) => id);

/** Gives the changes that touch a thing, by the map as it is now. */
function changesOf(rig, map) {
  const found = rig.newest("change").map((change) => ({ change, touched: touchedOf(rig, map, change) }));
  return (kind, noted) => {
    const parts = partsOf(map, kind, noted);
    const of = ({ outlets, devices }) => (kind === "outlet" ? outlets.map(([part]) => part) : devices);
    return found.filter(({ touched }) => of(touched).some((part) => parts.includes(part))).map(({ change }) => change);
  };
}

/** Changes come newest first. */
const changedAfter = ([newest], last) => (newest && (!last || momentOf(newest) > momentOf(last)) ? newest : null);
