// What a person does about a record that the server does not have.
import { uuid7 } from "../lib/uuid7.js";
import { together, walk } from "./db.js";
import { beginAnew } from "./logs.js";
import { renamed, speaksOf } from "./references.js";
import { belongs, hashOf, tell } from "./rows.js";

/** @import { StoreName } from "./stores.js" */
/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */

/** @typedef {import("./rows.js").Row} Row */

/** Sends a record again at the next chance, as it is. @param {string} id */
export function resend(id) {
  return change(({ records }, held) => {
    const row = held.get(id);
    if (row && row.saved !== "server") records.put(queued(row));
  });
}

/** @param {Row} row @returns {Row} */
const queued = ({ tries: _, not_before: __, ...row }) => ({ ...row, saved: "phone", problems: [] });

/**
 * Puts a mended text in the place of one that the server does not have; the earlier text is kept beside it.
 * Where the trouble is the record's number it gets another, and whatever speaks of it on this phone follows.
 * @param {string} id
 * @param {LogRecord} record
 * @returns {Promise<Row>}
 */
export async function mend(id, record) {
  hashOf(record); // a text that has none is refused here, before anything changes
  const made = await change((stores, held) => {
    const row = held.get(id);
    if (!row || row.saved === "server") return { row: null };
    const fresh = row.problems.some(({ at }) => at === "/id") ? uuid7() : id;
    const text = renamed({ ...record, id }, id, fresh);
    const mended = {
      ...queued(row),
      id: fresh,
      record: text,
      hash: hashOf(text),
      before: [...(row.before ?? []), row.record],
    };
    stores.records.put(mended);
    if (fresh !== id) followAll(stores, held, id, fresh);
    return { row: mended };
  });
  if (!made.row)
    throw new Error("The server has this record already, or it is gone from this phone; correct it on its own page.");
  return made.row;
}

/**
 * The record that the server holds under the old number comes from it anew.
 * @param {Record<StoreName, IDBObjectStore>} stores
 * @param {Map<string, Row>} held
 * @param {string} id
 * @param {string} fresh
 */
function followAll({ records, drafts, remembered, photos, kept }, held, id, fresh) {
  records.delete(id);
  beginAnew(kept);
  for (const row of held.values()) {
    if (row.id === id || row.saved === "server" || !speaksOf(row.record, id)) continue;
    const record = renamed(row.record, id, fresh);
    records.put({ ...row, record, hash: hashOf(record) });
  }
  for (const store of [drafts, remembered, photos]) follow(store, id, fresh);
}

/**
 * A photo's bytes stay as they are.
 * @param {IDBObjectStore} store
 * @param {string} id
 * @param {string} fresh
 */
function follow(store, id, fresh) {
  walk(store, (cursor) => {
    const { data, ...value } = cursor.value;
    if (speaksOf(value, id)) cursor.update({ ...renamed(value, id, fresh), ...(data && { data }) });
  });
}

/**
 * Takes records that the server does not have off this phone.
 * @param {string[]} ids
 * @returns {Promise<Row[]>} what was taken off, for restore()
 */
export function discard(ids) {
  return change(({ records }, held) => {
    const rows = ids.flatMap((id) => held.get(id) ?? []).filter(({ saved }) => saved !== "server");
    for (const { id } of rows) records.delete(id);
    return rows;
  });
}

/** Puts back what was discarded. @param {Row[]} rows */
export function restore(rows) {
  return change(({ records }, held) => {
    for (const row of rows) if (!held.has(row.id)) records.put(row);
  });
}

/**
 * Changes rows of the person now at the phone, in one transaction.
 * @template T
 * @param {(stores: Record<StoreName, IDBObjectStore>, held: Map<string, Row>) => T} work
 * @returns {Promise<T>} what work gave
 */
async function change(work) {
  const found = /** @type {{given: T}} */ ({}); // once the transaction has completed
  await together(["records", "kept", "drafts", "remembered", "photos"], "readwrite", (stores) => {
    const account = stores.kept.get("account");
    /** @type {IDBRequest<Row[]>} */
    const all = stores.records.getAll();
    all.onsuccess = () => {
      const mine = all.result.filter((row) => belongs(row, account.result ?? null));
      found.given = work(stores, new Map(mine.map((row) => [row.id, row])));
    };
  });
  tell();
  return found.given;
}
