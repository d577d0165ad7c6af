// Which things of a rig an incident touches. The Python twin is fieldlog/reports/incidents.py; both are tested from
// tests/cases/due-rows.json.
import { touchedBy } from "../engine/touched.js";
import { dayOf } from "../lib/times.js";
import { momentOf } from "./rig-of.js";

/** @import { BodyRigMap } from "../../../schemas/shapes/record.d.ts" */
/** @import { IncidentRule } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Chain, Rig } from "./rig-of.js" */

/**
 * @typedef {object} Impact an incident that touches a thing and came after its last good test
 * @property {string} id the kind of incident
 * @property {string} rule what makes the thing due
 * @property {string} name
 * @property {string} day at the latest today
 * @property {number} at when, in milliseconds
 * @property {string} clears what shows the thing again
 */

/** @typedef {(what: string, subject: string|null, last: Chain<any>|null|undefined) => Impact|null} IncidentReader */

/**
 * Gives what asks for the newest incident that touches a thing and came after its last good test.
 * @param {Rig} rig
 * @param {BodyRigMap} map
 * @param {IncidentRule[]} rules entries of the table of incidents; one that it does not know makes everything due
 * @param {string} today
 * @returns {IncidentReader}
 */
export function incidentsSince(rig, map, rules, today) {
  const found = rig
    .newest("incident")
    .filter(({ body }) => body.what !== "none")
    .map((incident) => ({
      incident,
      rule: rules.find(({ of, id }) => of === "incident" && id === incident.body.what),
      reach: reachOf(rig, map, incident),
      cordSet: setOf(rig, incident),
    }));
  return (what, subject, last) => {
    const since = found.filter(({ incident }) => !last || momentOf(incident) > momentOf(last));
    const [first] = since.filter(({ incident: { body }, rule, reach, cordSet }) => {
      if (!rule) return true;
      const { rig: all = [], cord = [], there = [] } = rule;
      if (what === "set" && cordSet) return subject === cordSet && [...all, ...cord, ...there].includes("set");
      if (all.includes(what) || (cord.includes(what) && (body.at !== "thing" || cordSet))) return true;
      return there.includes(what) && (!reach || reach.has(subject));
    });
    if (!first) return null;
    const { what: id } = first.incident.body;
    const day = dayOf(first.incident.record.observed_at);
    return {
      id,
      rule: `after-${id}`,
      name: first.rule?.name ?? "incident",
      day: day < today ? day : today,
      at: momentOf(first.incident),
      clears: rules.find((rule) => rule.of === "thing" && rule.id === what)?.clears ?? "it is tested",
    };
  };
}

/**
 * The cord set where it happened, if it was at one.
 * @param {Rig} rig
 * @param {Chain<"incident">} incident
 * @returns {string|undefined}
 */
const setOf = ({ sets }, { body: { at }, record: { subject } }) =>
  at === "thing" ? sets.find(({ ids }) => ids.includes(subject ?? ""))?.id : undefined;

/**
 * The outlets and devices that an incident reaches by the map; null is all of them.
 * @param {Rig} rig
 * @param {BodyRigMap} map
 * @param {Chain<"incident">} incident
 * @returns {Set<string|null>|null}
 */
function reachOf(rig, map, incident) {
  const { at } = incident.body;
  const { subject } = incident.record;
  if (at === "cord" || setOf(rig, incident)) return new Set();
  const thing =
    at === "thing" ? [...rig.outlets, ...rig.devices].find(({ ids }) => ids.includes(subject ?? "")) : undefined;
  const parts = thing
    ? map.parts.filter(({ outlet, device }) => [outlet, device].includes(thing.id)).map(({ id }) => id)
    : [];
  if (!parts.length) return null;
  const { outlets, devices = [] } = touchedBy(map, parts, () => ["h-n"]);
  const reached = [...parts, ...outlets.map(([id]) => id), ...devices];
  return new Set(
    map.parts
      .filter(({ id }) => reached.includes(id))
      .flatMap(({ outlet, device }) => [outlet, device])
      .filter((id) => typeof id === "string"),
  );
}
