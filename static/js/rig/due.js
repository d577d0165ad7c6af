// What of a rig comes round, from the rows of the phone. The Python twin is fieldlog/reports/due.py; both are tested
// from tests/cases/due-rows.json.
import { dueItems } from "../lib/due-items.js";
import { dayOf } from "../lib/times.js";
import { incidentsSince } from "./incidents.js";
import { mapOf } from "./map-of.js";
import { datedBy, isExposed, isGuard, isPress, momentOf, partsOf } from "./rig-of.js";
import { touchedOf } from "./touched.js";

/** @import { ChangeScope } from "../engine/proving.js" */
/** @import { Thing } from "../lib/due-items.js" */
/** @import { BodyLook, BodyRigMap, BodyTripTest, Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { DueRule, IncidentRule } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { IncidentReader } from "./incidents.js" */
/** @import { Chain, Rig } from "./rig-of.js" */

/**
 * @typedef {object} Question what is asked of a rig
 * @property {Rig} rig
 * @property {BodyRigMap} map
 * @property {(noted: Chain<any>) => boolean} isDated
 * @property {(kind: "outlet"|"device", noted: Chain<any>) => Chain<"change">[]} changes that touch a thing
 * @property {(noted: Chain<any>|null|undefined) => string|null} atMostToday
 * @property {Map<string, IncidentRule>} shows by thing, what shows it after an incident
 * @property {IncidentReader} since the incident that touches a thing after its last good test
 */

/** @typedef {{last: Chain<any>|undefined, failed: Chain<any>|undefined}} TestPair */

/**
 * Says what of a rig is due when, gravest first.
 * @param {Rig} rig
 * @param {DueRule[]} rules entries of the table of what comes round
 * @param {string} today
 * @param {IncidentRule[]} [incidents] entries of the table of incidents; without it each makes everything due
 */
export function dueOf(rig, rules, today, incidents = []) {
  const { assured_months: months = null, season_starts: season = null } = rig.body;
  return dueItems(things(rig, { today, isDated: datedBy(rules, today), incidents }), rules, today, {
    chosen: months === null ? [] : [`assured-${months}`],
    season,
  });
}

/**
 * @param {Rig} rig
 * @param {{today: string, isDated: (noted: Chain<any>) => boolean, incidents: IncidentRule[]}} how
 * @returns {Thing[]}
 */
function things(rig, { today, isDated, incidents }) {
  const { map } = mapOf(rig);
  /** @type {Question} */
  const asked = {
    rig,
    map,
    isDated,
    changes: changesOf(rig, map),
    atMostToday: (noted) => earlier(day(noted), today),
    shows: new Map(incidents.filter(({ of }) => of === "thing").map((rule) => [rule.id, rule])),
    since: incidentsSince(rig, map, incidents, today),
  };
  const all = [
    ...rig.devices.filter(isGuard).map((device) => deviceThing(asked, device)),
    ...rig.outlets.flatMap((outlet) => [
      ...outletThings(asked, outlet),
      ...(isExposed(map, outlet) ? [lookThing(asked, "outlet-look", ["outlet"], outlet)] : []),
    ]),
    ...rig.outlets.map((outlet) => groundThing(asked, outlet)),
  ];
  const sets = rig.sets.filter(({ body }) => !body.retired).map((each) => setThing(asked, each));
  if (!rig.devices.length && !rig.outlets.length) return sets;
  return [
    ...all,
    lookThing(asked, "cord", ["cord", "inlet"]),
    lookThing(asked, "alarms", ["alarms"]),
    lookThing(asked, "skin", ["skin"]),
    ...afterIncidents(asked),
    ...sets,
  ];
}

/** @type {Record<string, string>} */
const NAMES = {
  cord: "Cord and inlet",
  alarms: "Smoke and gas alarms",
  skin: "The rig’s skin",
  surge: "Surge protector",
  "cord-loaded": "Cord and inlet under load",
  insulation: "Insulation",
  set: "Shore cord, as a set with a number",
};

/** What comes round by no month, and is due after an incident alone. @param {Question} asked */
function afterIncidents(asked) {
  const { rig, isDated, shows } = asked;
  const loaded = rig
    .newest("outlet-test")
    .filter((test) => rig.outlets.some(({ ids }) => ids.includes(test.record.subject ?? "")))
    .find((test) => isReadLoaded(test) && !isNotToBeUsed(test) && isDated(test));
  const steps = shows.get("insulation")?.steps ?? [""]; // a table of an earlier release names none, so nothing shows it
  const shown = steps.map((step) =>
    rig.newest("proof").find((proof) => proof.body.step === step && proof.body.outcome === "good" && isDated(proof)),
  );
  const unknown = rig.sets.length ? null : asked.since("set", null, null);
  const clears = shows.get("set-to-note")?.clears ?? "it is tested";
  return [
    lookThing(asked, "surge", ["surge"]),
    onlyStruck(asked, "cord-loaded", loaded),
    onlyStruck(asked, "insulation", older(shown)),
    // The month's test is of sets that are noted; where none is, an incident asks for the first of them.
    ...(unknown
      ? [{ what: "set", subject: null, name: NAMES.set ?? "", last: null, struck: { ...unknown, clears } }]
      : []),
  ];
}

/** @param {Question} asked @param {string} what @param {Chain<any>|undefined} last @returns {Thing} */
const onlyStruck = ({ since }, what, last) => ({
  what,
  subject: null,
  name: NAMES[what] ?? what,
  last: day(last),
  struck: since(what, null, last),
});

/** None where one of them never was. @param {(Chain<any>|undefined)[]} found */
const older = (found) =>
  found.reduce((oldest, each) => (oldest && each ? (momentOf(each) < momentOf(oldest) ? each : oldest) : undefined));
/** @param {Chain<any>|null|undefined} noted */
const day = (noted) => (noted ? dayOf(noted.record.observed_at) : null);
/** @param {string|null} one @param {string|null} other */
const earlier = (one, other) => (one && other ? (one < other ? one : other) : null);

/** @param {Question} asked @param {Chain<"device">} device */
function deviceThing(asked, device) {
  const trips = asked.rig.newest("trip-test", device);
  const last = trips.find((trip) => isPress(trip) && asked.isDated(trip));
  return thingOf(asked, "device", device, { last, failed: downTo(last, trips).find(hasFailed) });
}

/** @param {Question} asked @param {Chain<"outlet">} outlet */
function outletThings(asked, outlet) {
  const tests = asked.rig.newest("outlet-test", outlet);
  return [
    outletThing(asked, "outlet", outlet, tests),
    outletThing(asked, "outlet-loaded", outlet, tests.filter(isReadLoaded)),
  ];
}

/**
 * @param {Question} asked
 * @param {string} what
 * @param {Chain<"outlet">} outlet
 * @param {Chain<"outlet-test">[]} tests
 */
function outletThing(asked, what, outlet, tests) {
  const last = tests.find((test) => isRead(test) && asked.isDated(test));
  return thingOf(asked, what, outlet, { last, failed: downTo(last, tests).find(isNotToBeUsed) });
}

/** @param {Question} asked @param {Chain<"outlet">} outlet */
function groundThing(asked, outlet) {
  const parts = partsOf(asked.map, "outlet", outlet);
  const proofs = asked.rig
    .newest("proof")
    .filter(({ body: { step, part } }) => step === "ground-continuous" && part !== null && parts.includes(part));
  const last = proofs.find((proof) => proof.body.outcome === "good" && asked.isDated(proof));
  return thingOf(asked, "ground", outlet, {
    last,
    failed: downTo(last, proofs).find(({ body }) => body.outcome === "bad"),
  });
}

/**
 * By its last whole test. What was found bad since, by a look too, puts it out of use, as does what no later look
 * found good.
 * @param {Question} asked
 * @param {Chain<"device">} noted
 * @returns {Thing}
 */
function setThing({ rig, isDated, atMostToday, since }, noted) {
  const looks = rig.newest("look", noted);
  const last = looks.find((look) => look.body.of === "set" && isAllGood(look) && isDated(look));
  const bad = downTo(last, looks).filter(({ body }) => Object.values(body.points).includes("bad"));
  return {
    what: noted.body.fixed ? "set-fixed" : "set",
    subject: noted.id,
    name: noted.body.name,
    last: day(last),
    failed: atMostToday(looks.find((look) => bad.includes(look) || standsBad(look, looks))),
    struck: since("set", noted.id, last),
  };
}

/**
 * Whether a look found something bad of which no later one says anything else.
 * @param {Chain<"look">} look
 * @param {Chain<"look">[]} looks newest first
 */
function standsBad(look, looks) {
  const later = looks.slice(0, looks.indexOf(look));
  return Object.entries(look.body.points).some(
    ([point, how]) => how === "bad" && !later.some(({ body }) => point in body.points),
  );
}

/**
 * @param {Question} asked
 * @param {string} what
 * @param {Chain<"device">|Chain<"outlet">} noted
 * @param {TestPair} tested
 * @returns {Thing}
 */
function thingOf({ changes, atMostToday, since }, what, noted, { last, failed }) {
  const changed = changedAfter(changes(what === "device" ? "device" : "outlet", noted), last);
  return {
    what,
    subject: noted.id,
    name: noted.body.name,
    last: day(last),
    failed: atMostToday(failed),
    changed: atMostToday(changed),
    struck: since(what, noted.id, last),
  };
}

/**
 * From the newest to the last that counts: one that settles nothing hides no failure.
 * @template Test
 * @param {Test|undefined} last
 * @param {Test[]} tests
 * @returns {Test[]}
 */
const downTo = (last, tests) => (last ? tests.slice(0, tests.indexOf(last) + 1) : tests);

/** A plug-in tester decides nothing where the device stays on. @param {{body: BodyTripTest}} test */
const hasFailed = ({ body: { by, tripped, face_dead: face, reset } }) =>
  !(by === "external" && tripped === false) && [tripped, face, reset].includes(false);

/** @param {Chain<"outlet-test">} test */
const isNotToBeUsed = ({ body }) => body.judgement.verdict === "do-not-use";

/** @param {{body: {check: Check}}} test @returns {Pick<Check, "volts"|"lamps"|"loaded">[]} */
const setsOf = ({ body: { check } }) => [check, ...(check.more ?? [])];

/** A look alone does not show how an outlet is wired. @param {Chain<"outlet-test">} test */
const isRead = (test) => isReadLoaded(test) || setsOf(test).some(({ volts, lamps }) => Boolean(volts || lamps));

/** A load alone, with no volts read, shows no joint. @param {Chain<"outlet-test">} test */
const isReadLoaded = (test) => setsOf(test).some(({ loaded }) => Boolean(loaded?.volts));

/**
 * By the older of its looks; only one that found all good settles an incident.
 * @param {Question} asked
 * @param {string} what
 * @param {BodyLook["of"][]} of
 * @param {Chain<"outlet">} [outlet]
 * @returns {Thing}
 */
function lookThing(asked, what, of, outlet) {
  const found = of.map((each) => looksAt(asked, each, outlet));
  const points = asked.shows.get(what)?.points;
  return {
    what,
    subject: outlet?.id ?? null,
    name: outlet?.body.name ?? NAMES[what] ?? what,
    last: found.map(([newest]) => day(newest)).reduce(earlier),
    struck: asked.since(
      what,
      outlet?.id ?? null,
      older(found.map((looks) => looks.find((look) => isAllGood(look, points)))),
    ),
  };
}

/**
 * The looks at which anything was looked at, newest first.
 * @param {Question} asked
 * @param {BodyLook["of"]} of
 * @param {Chain<"outlet">} [noted]
 */
function looksAt({ rig, isDated, shows }, of, noted) {
  const points = shows.get(of)?.points ?? [];
  /** @param {BodyLook} body */
  const isOf = (body) => body.of === of || points.some((point) => point in body.points);
  return rig
    .newest("look", noted)
    .filter((look) => isOf(look.body) && Object.keys(look.body.points).length > 0 && isDated(look));
}

/**
 * Whether these points were found good, or all that is asked at such a look.
 * @param {Chain<"look">} look
 * @param {string[]} [points]
 */
function isAllGood({ body }, points) {
  if (points) return points.every((point) => body.points[point] === "good");
  const found = Object.values(body.points);
  return found.length > 0 && !found.includes("bad") && !body.not_tested.length;
}

/**
 * Gives the changes that touch a thing, by the map as it is now.
 * @param {Rig} rig
 * @param {BodyRigMap} map
 * @returns {Question["changes"]}
 */
function changesOf(rig, map) {
  const found = rig.newest("change").map((change) => ({ change, touched: touchedOf(rig, map, change) }));
  return (kind, noted) => {
    const parts = partsOf(map, kind, noted);
    /** @param {ChangeScope} touched */
    const of = ({ outlets, devices = [] }) => (kind === "outlet" ? outlets.map(([part]) => part) : devices);
    return found.filter(({ touched }) => of(touched).some((part) => parts.includes(part))).map(({ change }) => change);
  };
}

/** Changes come newest first. @param {Chain<"change">[]} changes @param {Chain<any>|undefined} last */
const changedAfter = ([newest], last) => (newest && (!last || momentOf(newest) > momentOf(last)) ? newest : null);
