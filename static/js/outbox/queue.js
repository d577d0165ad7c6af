// Every record made on this phone or fetched from the server, and where it is saved.
import { canonical } from "../engine/canonical.js";
import { sha256Hex } from "../engine/sha256.js";
import { get, transact } from "./db.js";

/**
 * @typedef {object} Row
 * @property {string} id
 * @property {Record<string, any>} record
 * @property {string} hash SHA-256 of the record's canonical form, hex
 * @property {"phone"|"server"|"refused"} saved
 * @property {string|null} account whose it is; null until someone signs in
 * @property {{at: string, problem: string}[]} problems why the server refused it
 * @property {number|null} seq
 * @property {{flag: string, detail: string}[]} flags what the server noted
 */

/** Sends "changed" whenever a row changes. */
export const changes = new EventTarget();

/** @param {Record<string, any>} record @returns {string} */
export function hashOf(record) {
  return sha256Hex(canonical(record));
}

/**
 * Keeps a record on this phone; done means that it is on the medium.
 * @param {Record<string, any>} record
 * @returns {Promise<Row>}
 */
export async function keep(record) {
  const account = (await get("kept", "account")) ?? null;
  const row = { id: record.id, record, hash: hashOf(record), saved: "phone", account, problems: [], seq: null, flags: [] };
  await write([row]);
  return row;
}

/** @param {Row[]} rows */
async function write(rows) {
  if (!rows.length) return;
  await transact("records", "readwrite", (store) => rows.forEach((row) => store.put(row)));
  changes.dispatchEvent(new Event("changed"));
}

/** @param {string} id @returns {Promise<Row|undefined>} */
export function rowOf(id) {
  return get("records", id);
}

/** @returns {Promise<Row[]>} the rows of the account last signed in, and those of nobody yet, in order */
export async function allRows() {
  const account = await get("kept", "account");
  const rows = await transact("records", "readonly", (store) => store.getAll());
  return rows.filter((row) => row.account === null || row.account === account).sort(inOrder);
}

/** In the server's order; what it has not yet seen comes last, as it was made. */
const inOrder = (a, b) => (a.seq ?? Infinity) - (b.seq ?? Infinity) || (a.id < b.id ? -1 : 1);

/** @param {string} account @returns {Promise<Row[]>} rows that the server does not have yet */
export async function waitingRows(account) {
  return (await allRows()).filter((row) => row.saved === "phone" && (row.account === null || row.account === account));
}

/** @returns {Promise<Row[]>} rows that are on this phone only, the refused ones too */
export async function unsentRows() {
  return (await allRows()).filter((row) => row.saved !== "server");
}

/**
 * Writes down what the server answered about rows.
 * @param {Row[]} rows as sent
 * @param {Record<string, any>[]} receipts
 * @param {string} account
 */
export function settle(rows, receipts, account) {
  const byId = new Map(receipts.map((receipt) => [receipt.id, receipt]));
  return write(rows.filter((row) => byId.has(row.id)).map((row) => settled(row, byId.get(row.id), account)));
}

/** @param {Row} row @returns {Row} */
function settled(row, receipt, account) {
  if (receipt.status === "refused") return { ...row, account, saved: "refused", problems: receipt.problems ?? [] };
  if (receipt.hash !== row.hash) return { ...row, account, saved: "refused", problems: [{ at: "", problem: "The server holds another text under this number." }] };
  return { ...row, account, saved: "server", seq: receipt.seq, problems: [] };
}

/**
 * Takes over what the server holds; an entry whose text does not match its hash is left out.
 * @param {Record<string, any>[]} entries
 * @param {string} account
 */
export function takeOver(entries, account) {
  const whole = entries.filter(({ record, hash }) => hashOf(record) === hash);
  if (whole.length < entries.length) console.error("The server sent records that do not match their hashes; they are left out.");
  return write(whole.map((entry) => ({ id: entry.record.id, record: entry.record, hash: entry.hash, saved: "server", account, problems: [], seq: entry.seq, flags: entry.flags ?? [] })));
}
