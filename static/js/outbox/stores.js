/** The version of what a phone holds. Each step below stays as it was released. */
export const VERSION = 2;

/** @import { RigRules } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

/** @typedef {"records"|"drafts"|"remembered"|"kept"|"photos"} StoreName */

/**
 * @typedef {object} LogProgress of a log
 * @property {number} after up to this position all of it is here
 * @property {number} position the furthest that was told of, by a fetch or a receipt
 * @property {string} head of the log there, which names all of it so far
 */
/** @typedef {Record<string, LogProgress>} Logs by log: a rig's id, or that of the account */

/**
 * @typedef {object} Walk through what the server holds
 * @property {Logs} logs how far it has come
 * @property {number} tries how often an entry was left out
 * @property {number} [not_before] when the way is gone again from what is kept in "logs"; that stays before an entry
 *   that was left out
 */

/**
 * @typedef {object} LostPhoto
 * @property {string} hash of a photo that neither the server nor this phone has
 * @property {string} subject what it belongs to
 * @property {string} what it shows
 */

/** @typedef {{label: string, name: string}} AsideLabel under which what lies that an account of a name had here */

/**
 * @typedef {object} Newest what a page needs first
 * @property {any[]} rows as the store has them
 * @property {string|null} account at this phone when it was made
 * @property {number} count of all rows; another count says that something else wrote
 * @property {number} made when, in milliseconds
 */

/**
 * @typedef {object} Keepsakes by key; what was never kept is missing
 * @property {string|null} account at this phone
 * @property {string|null} session what the server calls it
 * @property {string|true} leaving the session that the server does not know to be left; true where it had no name
 * @property {number} forgot when what was typed was forgotten, in milliseconds
 * @property {Logs} logs what was seen of each log
 * @property {string} own the log of what belongs to no rig
 * @property {Record<string, string>} identities the id of each account that was here, by its name: one that was made
 *   anew has another
 * @property {{at: string, records: number}} lost since when a server lacks what it had confirmed, and how much of that
 *   was sent again
 * @property {string[]} handed_over the rigs that the account at this phone had and handed over
 * @property {LostPhoto[]} gone
 * @property {number} photos_asked when the server was last asked whether it has all photos, in milliseconds
 * @property {AsideLabel[]} aside
 * @property {Walk & {not_before: number}} ahead
 * @property {{offset_s: number, at: string}} clock by how much the server's was ahead, and when that was found
 * @property {number} pause until when the server wants to be left alone, in milliseconds
 * @property {number} photo_pause likewise for photos
 * @property {boolean} asked_to_stay
 * @property {string|Rulebook} rulebook its text as it came; what it holds, where an earlier release kept it
 * @property {RigRules} rig-rules
 * @property {Newest} newest
 */

/** @type {((db: IDBDatabase) => void)[]} */
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
