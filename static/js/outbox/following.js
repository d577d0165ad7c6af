// Lets what is kept of the newest rows follow what is written, in the same transaction and whoever writes it.

/** @import { Newest } from "./stores.js" */

export const KEY = "newest";
/** Own choice: with more rows it is made anew, from all of them. */
export const MOST = 1500;

/** @param {IDBObjectStore} records @param {IDBObjectStore} kept of a transaction that may write */
export function follow(records, kept) {
  /** @type {Map<string, {id: string}>} */
  const written = new Map();
  const found = { isAsked: false, isDropped: false };
  const drop = () => {
    found.isDropped = true;
    kept.delete(KEY);
  };
  const heed = () => {
    if (found.isAsked || found.isDropped) return;
    found.isAsked = true;
    const asked = kept.get(KEY);
    asked.onsuccess = () => {
      found.isAsked = false;
      if (asked.result && !found.isDropped) noteWritten(asked.result, written, { records, kept, drop });
    };
  };
  const { put, delete: remove, openCursor } = records;
  records.put = (row) => {
    written.set(row.id, row);
    heed();
    return put.call(records, row);
  };
  // What a record that goes had put behind it stands again; a cursor writes what nobody sees here.
  records.delete = (key) => {
    drop();
    return remove.call(records, key);
  };
  records.openCursor = (...asked) => {
    drop();
    return openCursor.apply(records, asked);
  };
}

/**
 * @param {Newest} newest
 * @param {Map<string, {id: string}>} written
 * @param {{records: IDBObjectStore, kept: IDBObjectStore, drop: () => void}} stores
 */
function noteWritten(newest, written, { records, kept, drop }) {
  const counted = records.count();
  counted.onsuccess = () => {
    const rows = [...newest.rows.filter(({ id }) => !written.has(id)), ...written.values()];
    if (rows.length > MOST) drop();
    else kept.put({ ...newest, rows, count: counted.result }, KEY);
  };
}
