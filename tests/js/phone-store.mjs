// A phone's store in memory, for the pages' own modules.
import { createRequire } from "node:module";

createRequire(new URL("../../deploy/package.json", import.meta.url))("fake-indexeddb/auto");
Object.defineProperty(globalThis, "navigator", { value: {} });

export const STORES = ["records", "drafts", "remembered", "kept", "photos"];
/** Begins a transaction as the browser does, whatever a test puts before it. */
export const begin = IDBDatabase.prototype.transaction;

/** @param {IDBRequest} request */
export const outcome = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("A connection does not make way."));
  });

/** Takes all off the phone, the store as well. */
export const wiped = () => outcome(indexedDB.deleteDatabase("fieldlog"));

/** What is in the store, as another page finds it. */
export async function found() {
  const other = await outcome(indexedDB.open("fieldlog"));
  const stores = begin.call(other, STORES, "readonly");
  const [records, photos, drafts] = await Promise.all(
    ["records", "photos", "drafts"].map((name) => outcome(stores.objectStore(name).getAll())),
  );
  const account = await outcome(stores.objectStore("kept").get("account"));
  other.close();
  return { records, photos, drafts, account };
}
