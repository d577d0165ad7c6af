// The rows of the phone's store, and whose they are.
import { canonical } from "../engine/canonical.js";
import { sha256Hex } from "../engine/sha256.js";
import { together } from "./db.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Flag, Problem } from "../../../schemas/shapes/api.d.ts" */

/**
 * @typedef {object} Row
 * @property {string} id
 * @property {LogRecord} record
 * @property {string} hash SHA-256 of the record's canonical form, hex
 * @property {"phone"|"server"|"refused"} saved
 * @property {string|null} account whose it is; null until someone signs in
 * @property {Problem[]} problems why the server refused it, or how it failed on it
 * @property {number|null} seq
 * @property {string} [log] in which it lies, as the server told it
 * @property {number} [position] in that log
 * @property {boolean} [again] the server had confirmed it once, and does not hold it any more
 * @property {Flag[]} flags what the server noted
 * @property {number|null} [clock_offset_s] how far the server's clock was ahead of the phone's when it was sent
 * @property {number} [tries] how often the server failed on this very record
 * @property {number} [not_before] when it is tried again, in milliseconds since 1970
 * @property {LogRecord[]} [before] earlier texts of a record that was mended before the server had it
 */

/** Sends "changed" whenever a row changes. */
export const changes = new EventTarget();

/** Tells the page that rows changed. */
export function tell() {
  changes.dispatchEvent(new Event("changed"));
}

/** @param {LogRecord} record @returns {string} */
export function hashOf(record) {
  return sha256Hex(canonical(record));
}

/** @param {LogRecord} record @param {string|null} account @returns {Row} one that the server does not have */
export function newRow(record, account) {
  return { id: record.id, record, hash: hashOf(record), saved: "phone", account, problems: [], seq: null, flags: [] };
}

/** @returns {Promise<{account: string|null, rows: Row[]}>} every row on the phone, and who was last signed in */
export async function everything() {
  const { account, rows } = await together(["records", "kept"], "readonly", ({ records, kept }) => ({
    account: kept.get("account"),
    rows: /** @type {IDBRequest<Row[]>} */ (records.getAll()),
  }));
  return { account: account.result ?? null, rows: rows.result };
}

/**
 * @param {{account: string|null}} row
 * @param {string|null} account
 * @returns {boolean} whether it is the account's, or nobody's yet
 */
export const belongs = (row, account) => row.account === null || row.account === account;

/** @param {Row} a @param {Row} b */
const bySeq = (a, b) => (a.seq ?? Infinity) - (b.seq ?? Infinity) || (a.id < b.id ? -1 : 1);

/**
 * Puts rows in the server's order; what it has not yet seen comes last, as it was made. What is corrected comes before
 * what corrects it, whatever a clock showed when either was made.
 * @param {Row[]} rows
 * @returns {Row[]}
 */
export function inOrder(rows) {
  const left = new Map(rows.map((row) => [row.id, row]));
  /** @type {Row[]} */
  const ordered = [];
  /** @param {string} id */
  const place = (id) => {
    const row = left.get(id);
    if (!row) return;
    left.delete(id);
    [row.record.corrects ?? [], row.record.also_corrects ?? []].flat().forEach(place);
    ordered.push(row);
  };
  for (const { id } of rows.sort(bySeq)) place(id);
  return ordered;
}

/** @returns {Promise<Row[]>} the rows of the account last signed in, and those of nobody yet, in order */
export async function allRows() {
  const { account, rows } = await everything();
  return inOrder(rows.filter((row) => belongs(row, account)));
}
