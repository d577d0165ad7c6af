// What of a rig comes round, from the rows of the phone. The Python twin is fieldlog/reports/due.py; both are tested from
// tests/cases/due-rows.json.
import { pairsOf } from "../check/pairs.js";
import { touchedBy } from "../engine/proving.js";
import { dueItems } from "../lib/due-items.js";
import { dayOf } from "../lib/times.js";
import { mapOf } from "../rig/map-of.js";
import { momentOf } from "../rig/rig-of.js";

/** @typedef {import("../rig/rig-of.js").Rig} Rig */
/** @typedef {import("../rig/rig-of.js").Noted} Noted */

/**
 * Says what of a rig is due when, gravest first.
 * @param {Rig} rig
 * @param {Record<string, any>[]} rules entries of the table of what comes round
 * @param {string} today
 */
export function dueOf(rig, rules, today) {
  const { assured_months: months = null, season_starts: season = null } = rig.body;
  return dueItems(things(rig), rules, today, { chosen: months === null ? [] : [`assured-${months}`], season });
}

/** @param {Rig} rig @returns {import("../lib/due-items.js").Thing[]} */
function things(rig) {
  const { map } = mapOf(rig);
  const changes = changesOf(rig, map);
  const grounds = rig.newest("proof").filter(({ body }) => body.step === "ground-continuous" && body.outcome === "good");
  const all = [
    ...rig.devices.filter(isGuard).map((device) => deviceThing(rig, device, changes)),
    ...rig.outlets.flatMap((outlet) => [...outletThings(rig, outlet, changes), ...(isExposed(map, outlet) ? [lookThing(rig, outlet)] : [])]),
    ...rig.outlets.map((outlet) => outletThing("ground", outlet, grounds.find(({ body }) => partsOf(map, "outlet", outlet).includes(body.part)), changes)),
  ];
  if (!rig.devices.length && !rig.outlets.length) return [];
  return [...all, thing("cord", "Cord and inlet", earlier(lastLook(rig, "cord"), lastLook(rig, "inlet"))), thing("alarms", "Smoke and gas alarms", day(lastLook(rig, "alarms")))];
}

const thing = (what, name, last) => ({ what, subject: null, name, last });
const day = (noted) => (noted ? dayOf(noted.record.observed_at) : null);
const earlier = (one, other) => (one && other ? [day(one), day(other)].sort()[0] : null);

/** A plain breaker has no TEST to press. @param {Noted} device @returns {boolean} */
export const isGuard = ({ body }) => body.type !== "breaker";

/** A plug-in tester decides nothing when the device stays on, so only its own TEST counts, and only where the outcome was noted. */
export const isPress = ({ body }) => body.by === "button" && body.tripped !== null;

function deviceThing(rig, device, changes) {
  const last = rig.newest("trip-test", device).find(isPress);
  const failed = Boolean(last) && [last.body.tripped, last.body.reset].includes(false);
  return { what: "device", subject: device.id, name: device.body.name, last: day(last), failed, changed: changedAfter(changes("device", device), last) };
}

function outletThings(rig, outlet, changes) {
  const tests = rig.newest("outlet-test", outlet);
  return [outletThing("outlet", outlet, tests[0], changes), outletThing("outlet-loaded", outlet, tests.find(isLoaded), changes)];
}

/** Outside or near water. @param {import("../rig/map-of.js").RigMap} map @param {Noted} outlet @returns {boolean} */
export const isExposed = (map, outlet) => map.parts.some((part) => part.outlet === outlet.id && part.where?.length);

const lookThing = (rig, outlet) => ({ what: "outlet-look", subject: outlet.id, name: outlet.body.name, last: day(lastLook(rig, "outlet", outlet)) });

/** The newest look at which anything was looked at. */
const lastLook = (rig, of, thing) => rig.newest("look", thing).find(({ body }) => body.of === of && Object.keys(body.points).length);

export const isLoaded = ({ body: { check } }) => "loaded" in check || Boolean(check.more?.some((more) => "loaded" in more));

function outletThing(what, outlet, last, changes) {
  return { what, subject: outlet.id, name: outlet.body.name, last: day(last), changed: changedAfter(changes("outlet", outlet), last) };
}

/** @param {import("../rig/map-of.js").RigMap} map @param {"outlet"|"device"} kind @param {Noted} noted @returns {string[]} the ids of the parts that stand for it */
export const partsOf = (map, kind, noted) => map.parts.filter((part) => part[kind] === noted.id).map(({ id }) => id);

/** Gives the changes that touch a thing, by the map as it is now. */
function changesOf(rig, map) {
  const pairs = ({ outlet_type: type }) => (type ? pairsOf(type) : []);
  const found = rig.newest("change").map((change) => ({ change, touched: touchedBy(map, change.body.parts, pairs) }));
  return (kind, noted) => {
    const parts = partsOf(map, kind, noted);
    const of = ({ outlets, devices }) => (kind === "outlet" ? outlets.map(([part]) => part) : devices);
    return found.filter(({ touched }) => of(touched).some((part) => parts.includes(part))).map(({ change }) => change);
  };
}

/** Changes come newest first. */
function changedAfter([newest], last) {
  return newest && (!last || momentOf(newest) > momentOf(last)) ? day(newest) : null;
}
