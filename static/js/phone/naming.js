// What a record is, in words: its kind, its place, its time. A refused record may be wrong in any of these.
import { spoken } from "../lib/times.js";
import { placeName } from "../lib/words.js";
import { KINDS } from "./kinds.js";

/** @typedef {import("../outbox/queue.js").Row} Row */

/** @type {Record<string, string>} A record that was refused may be of any kind. */
const NAMES = KINDS;
const WHEN = /^\d{4}-(0[1-9]|1[0-2])-\d\dT\d\d:\d\d/;

/**
 * @param {Record<string, any>} record
 * @returns {string} such as "Arrival check, corrected"
 */
export function kindOf(record) {
  const kind = String(record?.kind ?? "");
  const words = NAMES[kind] ?? (capital(kind.replaceAll("-", " ")) || "Record of no kind");
  return record?.corrects ? `${words}, corrected` : words;
}

/** @param {string} words */
const capital = (words) => words.slice(0, 1).toUpperCase() + words.slice(1);

/**
 * Names the place or the thing that a record is about.
 * @param {Record<string, any>} record
 * @param {Row[]} rows all that the phone holds, for the names of what it refers to
 * @returns {string} empty where there is no name
 */
export function placeOf(record, rows) {
  const body = record?.body ?? {};
  if (body.place) return placeName(body.place);
  if (typeof body.name === "string" && body.name) return body.name;
  const subject = rows.find(({ id }) => id === record?.subject)?.record;
  return subject && subject !== record ? placeOf(subject, rows) : "";
}

/** @param {Record<string, any>} record @returns {string} */
export function whenOf(record) {
  const at = String(record?.observed_at ?? "");
  return WHEN.test(at) ? spoken(at) : at || "no time";
}
