// Which records are looked for. The Python twin is fieldlog/reports/query.py; both are fed from
// tests/cases/queries.json.

/** @import { Row } from "../outbox/rows.js" */

/**
 * @typedef {object} Query what a record has to be to be found; what is empty asks for nothing
 * @property {string} words
 * @property {string} kind
 * @property {string} verdict
 * @property {string} first
 * @property {string} last
 * @property {string} flag of one kind, or any
 * @property {string} rig
 */

/**
 * @param {Pick<Row, "record"|"flags">} row
 * @param {string[]} names of what it is about, and of its kind
 * @param {Query} query
 */
export function finds({ record, flags }, names, { words, kind, verdict, first, last, flag, rig }) {
  const { kind: own, body, made_by: by, reason, observed_at: at } = record;
  const day = at.slice(0, 10);
  const isAsked =
    (!kind || kind === own) &&
    (!verdict || verdict === /** @type {any} */ (body).judgement?.verdict) &&
    (!first || first <= day) &&
    (!last || day <= last) &&
    (!rig || rig === record.rig) &&
    (!flag || flags.some((each) => flag === "any" || flag === each.flag));
  if (!isAsked) return false;
  const text = [...names, by, reason ?? "", at, ...flags.map(({ detail }) => detail), ...texts(body)].join(" ");
  const where = folded(text);
  return folded(words)
    .split(/\s+/)
    .every((word) => where.includes(word));
}

/** In small letters, with the apostrophe that a keyboard has. @param {string} text */
const folded = (text) => text.toLowerCase().replaceAll("’", "'");

/** Every name and text in a body. @param {unknown} value @returns {string[]} */
function texts(value) {
  if (typeof value === "string") return [value];
  if (!value || typeof value !== "object") return [];
  if (Array.isArray(value)) return value.flatMap(texts);
  return Object.entries(value).flatMap(([name, each]) => [name, ...texts(each)]);
}
