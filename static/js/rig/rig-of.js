// Rigs as the rows of the phone tell them. The Python twin is fieldlog/model/rig.py.
import { daysAfter } from "../lib/due.js";
import { dayOf } from "../lib/times.js";
import { chains } from "../outbox/chains.js";

/** @import { BodyRigMap, Check, LogRecord, RecordRig } from "../../../schemas/shapes/record.d.ts" */
/** @import { DueRule } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Row } from "../outbox/rows.js" */

/** @typedef {LogRecord["kind"]} Kind */

/**
 * @template {Kind} Of
 * @typedef {Extract<LogRecord, {kind: Of}>} RecordOf
 */

/**
 * @template {Kind} [Of=Kind]
 * @typedef {object} Chain a record with its corrections; the newest version counts
 * @property {string} id of the first version, which names it for good
 * @property {string[]} ids of all versions
 * @property {RecordOf<Of>} record the newest version
 * @property {RecordOf<Of>["body"]} body of the newest version
 */

/**
 * @typedef {object} Rig
 * @property {string} id
 * @property {string} name
 * @property {RecordRig["body"]} body
 * @property {Chain<"outlet">[]} outlets as they were first noted
 * @property {Chain<"device">[]} devices as they were first noted
 * @property {Chain<"device">[]} sets cords, extensions and adapters with a number, as they were first noted
 * @property {<Of extends Kind>(kind: Of, subject?: Chain<any>|null) => Chain<Of>[]} newest its records of a kind, or
 *   those about one thing, newest first
 * @property {(id: string) => Chain|undefined} noted its record by the id of any version
 * @property {<Of extends Kind>(kind: Of) => RecordOf<Of>[]} versions its records of a kind with all that they
 *   corrected, in the order of the rows
 */

/** @param {Row[]} rows in order @returns {Rig[]} as they were first noted */
export function rigsOf(rows) {
  const noted = chains(rows).map(notedOf);
  return ofKind(noted, "rig").map((rig) => rigOf(rig, noted, rows));
}

/** @param {Row[]} chain @returns {Chain} */
function notedOf(chain) {
  const record = /** @type {LogRecord} */ (chain.at(-1)?.record); // a chain has at least its first record
  const ids = chain.map(({ id }) => id);
  return { id: /** @type {string} */ (ids[0]), ids, record, body: record.body };
}

/**
 * @template {Kind} Of
 * @param {Chain[]} noted
 * @param {Of} kind
 * @returns {Chain<Of>[]}
 */
const ofKind = (noted, kind) => /** @type {Chain<any>[]} */ (noted).filter(({ record }) => record.kind === kind);

/** @param {Chain<"rig">} rig @param {Chain[]} noted @param {Row[]} rows @returns {Rig} */
function rigOf({ id, body }, noted, rows) {
  const own = noted.filter(({ record }) => record.rig === id);
  /** @type {Rig["newest"]} */
  const newest = (kind, subject) =>
    ofKind(own, kind)
      .filter(({ record }) => !subject || subject.ids.includes(record.subject ?? ""))
      .reverse()
      .sort(byTime);
  /** @type {Rig["versions"]} */
  const versions = (kind) =>
    rows
      .map(({ record }) => /** @type {RecordOf<typeof kind>} */ (record))
      .filter((record) => record.kind === kind && record.rig === id);
  const all = ofKind(own, "device");
  const [devices, sets] = [all.filter((device) => !isSet(device)), all.filter(isSet)];
  /** @type {Rig["noted"]} */
  const notedBy = (wanted) => own.find(({ ids }) => ids.includes(wanted));
  return { id, name: body.name, body, outlets: ofKind(own, "outlet"), devices, sets, newest, noted: notedBy, versions };
}

/** Of all devices only a cord set has a number. @param {Chain<"device">} device */
const isSet = ({ body }) => body.number !== undefined;

/** @param {Chain<any>} noted @returns {number} when it was observed, in milliseconds */
export const momentOf = ({ record }) => Date.parse(record.observed_at);

/** @param {Chain<any>} a @param {Chain<any>} b */
const byTime = (a, b) => momentOf(b) - momentOf(a);

/**
 * Says of a record whether its time can be that of a test; one far ahead comes from a wrong clock.
 * @param {DueRule[]} rules entries of the table of what comes round
 * @param {string} today
 * @returns {(noted: Chain<any>) => boolean}
 */
export function datedBy(rules, today) {
  const days = rules.find(({ ahead_days: each }) => each !== undefined)?.ahead_days;
  return (noted) => days === undefined || dayOf(noted.record.observed_at) <= daysAfter(today, days);
}

/** A plain breaker has no TEST to press. @param {Chain<"device">} device @returns {boolean} */
export const isGuard = ({ body }) => body.type !== "breaker";

/**
 * A plug-in tester decides nothing when the device stays on, so only its own TEST counts, and only where the outcome
 * was noted.
 * @param {Pick<Chain<"trip-test">, "body">} test
 */
export const isPress = ({ body }) => body.by === "button" && body.tripped !== null;

/** Outside or near water. @param {BodyRigMap} map @param {Chain<"outlet">} outlet @returns {boolean} */
export const isExposed = (map, outlet) =>
  map.parts.some((part) => part.outlet === outlet.id && Boolean(part.where?.length));

/** @param {{body: {check: Check}}} test */
export const isLoaded = ({ body: { check } }) =>
  "loaded" in check || Boolean(check.more?.some((more) => "loaded" in more));

/**
 * @param {BodyRigMap} map
 * @param {"outlet"|"device"} kind
 * @param {Chain<any>} noted
 * @returns {string[]} the ids of the parts that stand for it
 */
export const partsOf = (map, kind, noted) => map.parts.filter((part) => part[kind] === noted.id).map(({ id }) => id);
