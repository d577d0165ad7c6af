// Every record made on this phone or fetched from the server, and where it is saved.
import { isDue } from "../lib/patience.js";
import { after, together } from "./db.js";
import { draftKey, refuseOthers } from "./drafts.js";
import { allRows, belongs, everything, newRow, tell } from "./rows.js";
import { askToStay } from "./stay.js";

export { postpone, settle, takeOver } from "./receipts.js";
export { allRows, changes, hashOf } from "./rows.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */

/** @typedef {import("./rows.js").Row} Row */

/**
 * Keeps a record on this phone; done means that it is on the medium.
 * @param {LogRecord} record
 * @param {string|null} [typedBy] the account that began it; nothing is kept where another one is at this phone
 * @param {{page: string, draft: object}} [from] the draft that it comes from, as it is once the record is kept: both
 *   are, or neither
 * @returns {Promise<Row>}
 */
export async function keep(record, typedBy, from) {
  const row = newRow(record, null);
  await together(["records", "kept", "drafts"], "readwrite", ({ records, kept, drafts }) => {
    after(kept.get("account"), (account = null) => {
      refuseOthers(typedBy, account);
      row.account = account;
      records.put(row);
      if (from) drafts.put({ ...from.draft, account, touched: Date.now() }, draftKey(from.page, account));
      if (from && !typedBy && account) drafts.delete(from.page);
    });
  });
  tell();
  askToStay();
  return row;
}

/** @param {string} id @returns {Promise<Row|undefined>} a row that the person now at the phone may see */
export async function rowOf(id) {
  const { account, row } = await together(["records", "kept"], "readonly", ({ records, kept }) => ({
    account: kept.get("account"),
    row: /** @type {IDBRequest<Row|undefined>} */ (records.get(id)),
  }));
  return row.result && belongs(row.result, account.result ?? null) ? row.result : undefined;
}

/**
 * @param {Promise<Row[]>} [rows] among which they are
 * @returns {Promise<Row[]>} rows that are on this phone only, the refused ones too
 */
export async function unsentRows(rows = allRows()) {
  return (await rows).filter(({ saved }) => saved !== "server");
}

/** @returns {Promise<Row[]>} rows that need a person: the server refused them, or fails on them each time */
export async function refusedRows() {
  return (await unsentRows()).filter(({ saved, tries }) => saved === "refused" || tries);
}

/**
 * Lists what can be sent now.
 * @param {string} account
 * @param {number} [now] in milliseconds
 * @returns {Promise<Row[]>}
 */
export async function waitingRows(account, now = Date.now()) {
  return (await allRows()).filter(
    (row) => row.saved === "phone" && belongs(row, account) && isDue(row.not_before ?? 0, now),
  );
}

/** @returns {Promise<{account: string, count: number}[]>} how much waits here for other accounts */
export async function lockedCounts() {
  const { account, rows } = await everything();
  /** @type {Map<string|null, number>} */
  const counts = new Map();
  for (const row of rows)
    if (row.saved !== "server" && !belongs(row, account)) counts.set(row.account, (counts.get(row.account) ?? 0) + 1);
  return [...counts].map(([name, count]) => ({ account: /** @type {string} */ (name), count }));
}

/**
 * @param {{hash: string}[]} photos that are on this phone only
 * @param {Promise<Row[]>} [rows] among which are those that are on this phone only, and the records of the photos
 * @returns {Promise<number|null>} when the oldest record was made that is on this phone only, or whose photo is, in
 *   milliseconds
 */
export async function oldestUnsent(photos = [], rows = allRows()) {
  /** @param {LogRecord} record */
  const waits = ({ kind, body }) => kind === "photo" && photos.some(({ hash }) => hash === body.hash);
  const times = (await rows)
    .filter(({ saved, record }) => saved !== "server" || waits(record))
    .map(({ id }) => madeAt(id));
  return times.length ? Math.min(...times) : null;
}

/** @param {string} id a UUID of version 7, which begins with the time @returns {number} */
const madeAt = (id) => parseInt(id.replaceAll("-", "").slice(0, 12), 16);
