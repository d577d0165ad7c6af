// The phone's own store. "Saved" is only said when a transaction has completed.
import { follow } from "./following.js";
import { build, VERSION } from "./stores.js";

/** @import { Keepsakes, StoreName } from "./stores.js" */

const NAME = "fieldlog";
const BLOCKED_MS = 2000;
const SILENT_MS = 8000;
const BLOCKED = "Another page of this site is open in an older version; close it and try again.";
const SILENT = "The phone’s store does not open. Close the other pages of this site and try again.";
const NEWER =
  "What is on this phone was kept by a newer version of this site, which this page cannot read. All of it is still " +
  "there. Load this page again; where that does not help, the server has gone back to an older version.";

/** What is only on this phone at first: done means that it is on the medium. */
const LASTING = ["records", "photos"];

/** What a browser says where it dropped the connection by itself. */
const DROPPED = ["InvalidStateError", "UnknownError", "AbortError"];

/** A browser that clears away a store drops a connection that is opened meanwhile as well. */
const MOST_TRIES = 3;

/** @type {Promise<IDBDatabase>|null} the connection, or the one under way, which is taken however late it comes */
let opened = null;

/** @type {IDBDatabase|null} */
let held = null;

let blocked = false;

/** @returns {Promise<IDBDatabase>} */
function open() {
  if (held && opened) return opened;
  opened ??= connect().catch((error) => {
    opened = null;
    blocked = false;
    throw error;
  });
  return inTime(opened);
}

/** @returns {Promise<IDBDatabase>} */
function connect() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = ({ oldVersion }) => build(request.result, oldVersion);
    request.onblocked = () => {
      blocked = true;
      waiting.dispatchEvent(new Event("blocked"));
    };
    request.onerror = () => reject(request.error?.name === "VersionError" ? new Error(NEWER) : request.error);
    request.onsuccess = () => resolve(hold(request.result));
  });
}

const waiting = new EventTarget();

/**
 * A page that waits for the store hears within three seconds of an older page that stands in the way.
 * @param {Promise<IDBDatabase>} connection
 * @returns {Promise<IDBDatabase>}
 */
function inTime(connection) {
  return new Promise((resolve, reject) => {
    /** @param {string} sentence @param {number} wait */
    const say = (sentence, wait) => setTimeout(() => reject(new Error(sentence)), wait);
    const timers = [say(SILENT, SILENT_MS)];
    const hurry = () => timers.push(say(BLOCKED, BLOCKED_MS));
    if (blocked) hurry();
    else waiting.addEventListener("blocked", hurry, { once: true });
    connection.then(resolve, reject).finally(() => {
      timers.forEach(clearTimeout);
      waiting.removeEventListener("blocked", hurry);
    });
  });
}

/** @param {IDBDatabase} db @returns {IDBDatabase} one that never stands in the way of a newer page */
function hold(db) {
  blocked = false;
  held = db;
  db.onversionchange = () => letGo(db);
  db.onclose = () => letGo(db);
  return db;
}

/** @param {IDBDatabase|null} db */
function letGo(db) {
  db?.close();
  if (held !== db) return;
  held = null;
  opened = null;
}

/**
 * Runs work in one transaction over several stores, and gives what it made once the transaction has completed:
 * all of it is on the phone, or none. Work may run again, on a connection that was opened again.
 * @template {StoreName} Name
 * @template T
 * @param {Name[]} stores
 * @param {"readonly"|"readwrite"} mode
 * @param {(stores: Record<Name, IDBObjectStore>) => IDBRequest<T>|T} work
 * @returns {Promise<T>} the result of the request, or what work gave
 */
export async function together(stores, mode, work) {
  for (let tries = 1; ; tries += 1) {
    try {
      return await attempt(stores, mode, work);
    } catch (error) {
      if (tries === MOST_TRIES || !DROPPED.includes(/** @type {DOMException} */ (error)?.name)) throw error;
      letGo(held);
    }
  }
}

/**
 * @template {StoreName} Name
 * @template T
 * @param {Name[]} stores
 * @param {"readonly"|"readwrite"} mode
 * @param {(stores: Record<Name, IDBObjectStore>) => IDBRequest<T>|T} work
 * @returns {Promise<T>}
 */
async function attempt(stores, mode, work) {
  const db = await open();
  return new Promise((resolve, reject) => {
    const durability = mode === "readwrite" && stores.some((name) => LASTING.includes(name)) ? "strict" : "default";
    const isWriting = mode === "readwrite" && stores.some((name) => name === "records");
    const transaction = db.transaction(isWriting ? [...new Set([...stores, "kept"])] : stores, mode, { durability });
    /** @type {IDBRequest<T>|T} */
    let made;
    transaction.oncomplete = () => resolve(made instanceof IDBRequest ? made.result : made);
    transaction.onabort = () =>
      reject(failures.get(transaction) ?? transaction.error ?? new Error("The phone’s store stopped the writing."));
    try {
      const named = Object.fromEntries(stores.map((name) => [name, transaction.objectStore(name)]));
      if (isWriting) follow(transaction.objectStore("records"), transaction.objectStore("kept"));
      made = work(/** @type {Record<Name, IDBObjectStore>} */ (named));
    } catch (error) {
      reject(error); // before the abort, so that this reason is the one that is told
      transaction.abort();
    }
  });
}

/** Why a transaction was stopped from within. @type {WeakMap<IDBTransaction, unknown>} */
const failures = new WeakMap();

/**
 * Goes on with what a request found; what goes wrong then stops the transaction and is the reason that is told.
 * @template T
 * @param {IDBRequest<T>} request
 * @param {(found: T) => void} act
 */
export function after(request, act) {
  request.onsuccess = () => {
    try {
      act(request.result);
    } catch (error) {
      const transaction = /** @type {IDBTransaction} */ (request.transaction); // that of the work, under way
      failures.set(transaction, error);
      transaction.abort();
    }
  };
}

/**
 * Runs work in one transaction over one store.
 * @template T
 * @param {StoreName} store
 * @param {"readonly"|"readwrite"} mode
 * @param {(store: IDBObjectStore) => IDBRequest<T>|T} work
 * @returns {Promise<T>}
 */
export function transact(store, mode, work) {
  return together([store], mode, (stores) => work(stores[store]));
}

/**
 * @template {StoreName} Name
 * @template {IDBValidKey} Key
 * @param {Name} store
 * @param {Key} key
 * @returns {Promise<Name extends "kept" ? (Key extends keyof Keepsakes ? Keepsakes[Key]|undefined : never) : any>}
 *   what the
 *   other stores hold
 * is known to those who put it there
 */
export function get(store, key) {
  return transact(store, "readonly", (rows) => rows.get(key));
}

/** @param {StoreName} store @param {IDBValidKey} key @param {unknown} value */
export function put(store, key, value) {
  return transact(store, "readwrite", (rows) => void (rows.keyPath ? rows.put(value) : rows.put(value, key)));
}

/** @param {StoreName} store @param {IDBValidKey} key */
export function remove(store, key) {
  return transact(store, "readwrite", (rows) => void rows.delete(key));
}

/**
 * Goes through a store inside a transaction, one value at a time.
 * @param {IDBObjectStore} store
 * @param {(cursor: IDBCursorWithValue) => void} see
 * @param {() => void} [then]
 */
export function walk(store, see, then) {
  const request = store.openCursor();
  request.onsuccess = () => {
    const cursor = request.result;
    if (!cursor) return then?.();
    see(cursor);
    cursor.continue();
  };
}
