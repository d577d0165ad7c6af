// The store of a trial of this phone. It lies apart from the log's, so that nothing which is tried can touch that.

const NAME = "fieldlog-trial";
const ROWS = "rows";
const SILENT_MS = 8000;
const SILENT = "the store did not answer within 8 seconds";

/** The key of the mark that is set beside the store, in localStorage and in the tab's own memory. */
export const MARK = NAME;

/**
 * Runs work in one transaction, on a connection of its own, and gives what it asked for once that has completed.
 * @template T
 * @param {"readonly"|"readwrite"} mode
 * @param {(rows: IDBObjectStore, transaction: IDBTransaction) => IDBRequest<T>|void} work
 * @returns {Promise<T>}
 */
export async function inTrialStore(mode, work) {
  const db = await opened();
  try {
    return await inTime(
      new Promise((resolve, reject) => {
        const transaction = db.transaction(ROWS, mode, { durability: mode === "readwrite" ? "strict" : "default" });
        /** @type {IDBRequest<T>|void} */
        let request;
        transaction.oncomplete = () => resolve(/** @type {T} */ (request?.result));
        transaction.onabort = () => reject(transaction.error ?? new Error("the browser stopped the writing"));
        request = work(transaction.objectStore(ROWS), transaction);
      }),
    );
  } finally {
    db.close();
  }
}

/** Takes all away that a trial left on this phone. */
export async function forgetTrial() {
  for (const each of beside()) each.removeItem(MARK);
  await inTime(
    new Promise((resolve, reject) => {
      const request = indexedDB.deleteDatabase(NAME);
      // Another tab lets go of it in a moment; only then is it gone.
      request.onsuccess = () => resolve(undefined);
      request.onerror = () => reject(request.error);
    }),
  );
}

/** @returns {Storage[]} what a browser offers beside the store; it may refuse either */
function beside() {
  try {
    return [localStorage, sessionStorage];
  } catch (error) {
    console.warn(error);
    return [];
  }
}

/** @returns {Promise<IDBDatabase>} */
function opened() {
  return inTime(
    new Promise((resolve, reject) => {
      const request = indexedDB.open(NAME, 1);
      request.onupgradeneeded = () => void request.result.createObjectStore(ROWS);
      request.onerror = () => reject(request.error);
      request.onsuccess = () => {
        request.result.onversionchange = () => request.result.close();
        resolve(request.result);
      };
    }),
  );
}

/**
 * @template T
 * @param {Promise<T>} work
 * @returns {Promise<T>}
 */
function inTime(work) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error(SILENT)), SILENT_MS);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
