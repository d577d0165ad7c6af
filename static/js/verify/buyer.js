// What a buyer or an insurer asks of a rig's record: each line told by the records, or not noted. The same stands in
// fieldlog/reports/buyer.py.
import { canonical } from "../engine/canonical.js";

/** @typedef {Record<string, any>} Json */
/** @typedef {{label: string, told: string[]}} BuyerLine */

const NOT_NOTED = "not noted";
const NOT_SHOWN = "not shown";

/**
 * Answers what is asked.
 * @param {Json[]} records in the order of their log
 * @param {Json[]} table entries of schemas/facts/buyer.json
 * @param {string[]} hidden kinds of which records are there that are not among these
 * @returns {BuyerLine[]}
 */
export function askedLines(records, table, hidden = []) {
  const counting = standing(records);
  return table.map((asked) => ({ label: asked.label, told: toldOf(asked, counting, hidden) }));
}

/** @param {Json[]} records @returns {Json[]} the newest first, those that count */
function standing(records) {
  const byId = new Map(records.map((record) => [record.id, record]));
  const gone = new Set(records.flatMap(corrected));
  /** @type {Map<string, Json>} */
  const counting = new Map();
  for (const record of records) {
    const root = rootOf(record, byId);
    const other = counting.get(root);
    if (gone.has(record.id) || (other && other.id >= record.id)) continue;
    counting.delete(root);
    counting.set(root, record);
  }
  return [...counting.values()].reverse();
}

/** @param {Json} record @returns {string[]} */
const corrected = ({ corrects, also_corrects }) => (corrects ? [corrects, ...(also_corrects ?? [])] : []);

/** @param {Json} record @param {Map<string, Json>} byId @returns {string} */
function rootOf(record, byId) {
  const seen = new Set([record.id]);
  let found = record.id;
  for (let next = record.corrects; next && !seen.has(next); next = byId.get(next)?.corrects) {
    seen.add(next);
    found = next;
  }
  return found;
}

/** @param {Json} asked @param {Json[]} counting @param {string[]} hidden */
function toldOf(asked, counting, hidden) {
  const told = new Set(counting.filter((record) => isAsked(asked, record)).map((record) => sentence(asked, record)));
  if (told.size) return [...told].slice(0, asked.most);
  return [asked.kinds.some((/** @type {string} */ kind) => hidden.includes(kind)) ? NOT_SHOWN : NOT_NOTED];
}

/** @param {Json} asked @param {Json} record @returns {boolean} */
function isAsked(asked, record) {
  if (!asked.kinds.includes(record.kind) || at(record, "/body/retired") === "true") return false;
  if (asked.where && !asked.where[1].includes(at(record, asked.where[0]))) return false;
  const needs = asked.needs ?? asked.tell.map((/** @type {[string, string]} */ [place]) => place);
  return needs.some((/** @type {string} */ place) => at(record, place));
}

/** @param {Json} asked @param {Json} record */
function sentence(asked, record) {
  return asked.tell
    .map((/** @type {[string, string]} */ [place, said]) => {
      const held = at(record, place);
      return held && (said === "{day}" ? held.slice(0, 10) : said.replace("{}", () => held));
    })
    .filter(Boolean)
    .join(", ");
}

/** What stands at a place as text, "" for nothing. @param {Json} record @param {string} place */
function at(record, place) {
  let value = /** @type {any} */ (record);
  for (const step of place.split("/").slice(1)) {
    const isObject = value !== null && typeof value === "object" && !Array.isArray(value);
    value = isObject && Object.hasOwn(value, step) ? value[step] : null;
  }
  if (value === null || value === undefined) return "";
  return typeof value === "string" ? value : canonical(value);
}
