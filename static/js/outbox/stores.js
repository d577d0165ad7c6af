/** The version of what a phone holds. Each step below stays as it was released. */
export const VERSION = 2;

const STEPS = [
  (db) => {
    db.createObjectStore("records", { keyPath: "id" }); // rows: a record, its hash, where it is saved
    db.createObjectStore("drafts"); // what is being typed, by page
    db.createObjectStore("remembered"); // values offered again
    db.createObjectStore("kept"); // the rulebook, the cursor, the account, the clock, a sign-out not yet told
  },
  (db) => {
    db.createObjectStore("photos", { keyPath: "hash" }); // pictures, named by their bytes
  },
];

/**
 * Brings a store up to date, in the browser's own transaction: all steps, or none.
 * @param {IDBDatabase} db
 * @param {number} from the version that it has; 0 for none
 */
export function build(db, from) {
  for (const step of STEPS.slice(from, VERSION)) step(db);
}
