// What records and parts of a rig are, where no due day is asked for.
import { daysAfter } from "../lib/due.js";
import { dayOf } from "../lib/times.js";

/** @import { BodyRigMap, Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { DueRule } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Noted } from "./rig-of.js" */

/**
 * Says of a record whether its time can be that of a test; one far ahead comes from a wrong clock.
 * @param {DueRule[]} rules entries of the table of what comes round
 * @param {string} today
 * @returns {(noted: Noted<any>) => boolean}
 */
export function datedBy(rules, today) {
  const days = rules.find(({ ahead_days: each }) => each !== undefined)?.ahead_days;
  return (noted) => days === undefined || dayOf(noted.record.observed_at) <= daysAfter(today, days);
}

/** A plain breaker has no TEST to press. @param {Noted<"device">} device @returns {boolean} */
export const isGuard = ({ body }) => body.type !== "breaker";

/**
 * A plug-in tester decides nothing when the device stays on, so only its own TEST counts, and only where the outcome
 * was noted.
 * @param {Pick<Noted<"trip-test">, "body">} test
 */
export const isPress = ({ body }) => body.by === "button" && body.tripped !== null;

/** Outside or near water. @param {BodyRigMap} map @param {Noted<"outlet">} outlet @returns {boolean} */
export const isExposed = (map, outlet) =>
  map.parts.some((part) => part.outlet === outlet.id && Boolean(part.where?.length));

/** @param {{body: {check: Check}}} test */
export const isLoaded = ({ body: { check } }) =>
  "loaded" in check || Boolean(check.more?.some((more) => "loaded" in more));

/**
 * @param {BodyRigMap} map
 * @param {"outlet"|"device"} kind
 * @param {Noted<any>} noted
 * @returns {string[]} the ids of the parts that stand for it
 */
export const partsOf = (map, kind, noted) => map.parts.filter((part) => part[kind] === noted.id).map(({ id }) => id);
