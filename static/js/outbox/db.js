// The phone's own store. "Saved" is only said when a transaction has completed.
const NAME = "fieldlog";
const VERSION = 1;

/** @type {Promise<IDBDatabase>|null} */
let opened = null;

/** @returns {Promise<IDBDatabase>} */
function open() {
  opened ??= connect().catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

/** @returns {Promise<IDBDatabase>} */
function connect() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => build(request.result);
    request.onblocked = () => reject(new Error("Another page of this site holds an older store open. Close it and try again."));
    request.onerror = () => reject(request.error);
    request.onsuccess = () => resolve(letGo(request.result));
  });
}

/** @param {IDBDatabase} db */
function build(db) {
  db.createObjectStore("records", { keyPath: "id" }); // rows: a record, its hash, where it is saved
  db.createObjectStore("drafts"); // what is being typed, by page
  db.createObjectStore("remembered"); // values offered again
  db.createObjectStore("kept"); // the rulebook, the cursor, the account
}

/** @param {IDBDatabase} db @returns {IDBDatabase} one that never stands in the way of a newer page */
function letGo(db) {
  db.onversionchange = () => {
    db.close();
    opened = null;
  };
  db.onclose = () => {
    opened = null;
  };
  return db;
}

/**
 * Runs work in one transaction and gives its result once the transaction has completed.
 * A connection that the browser dropped is opened again, once.
 * @template T
 * @param {string} store
 * @param {"readonly"|"readwrite"} mode
 * @param {(store: IDBObjectStore) => IDBRequest<T>|void} work
 * @returns {Promise<T>}
 */
export async function transact(store, mode, work) {
  try {
    return await attempt(await open(), store, mode, work);
  } catch (error) {
    if (!["InvalidStateError", "UnknownError", "AbortError"].includes(error?.name)) throw error;
    opened = null;
    return attempt(await open(), store, mode, work);
  }
}

/** @returns {Promise<any>} */
function attempt(db, store, mode, work) {
  return new Promise((resolve, reject) => {
    const durability = mode === "readwrite" && store === "records" ? "strict" : "default";
    const transaction = db.transaction(store, mode, { durability });
    let request;
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = () => reject(transaction.error ?? new Error("The phone’s store stopped the writing."));
    try {
      request = work(transaction.objectStore(store));
    } catch (error) {
      reject(error); // before the abort, so that this reason is the one that is told
      transaction.abort();
    }
  });
}

/** @param {string} store @param {string} key @returns {Promise<any>} */
export function get(store, key) {
  return transact(store, "readonly", (rows) => rows.get(key));
}

/** @param {string} store @param {string} key @param {any} value */
export function put(store, key, value) {
  return transact(store, "readwrite", (rows) => void rows.put(value, key));
}

/** @param {string} store @param {string} key */
export function remove(store, key) {
  return transact(store, "readwrite", (rows) => void rows.delete(key));
}
