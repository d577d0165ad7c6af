// What this phone knows of the server's logs. Each is a chain of hashes; its head names all of it up to a position, so
// that a server that was put back to an earlier state, or is another copy, is found out (forgetting.js).
import { after } from "./db.js";

/** @import { Logs, LogProgress } from "./stores.js" */
/** @import { Entry, Receipt } from "../../../schemas/shapes/api.d.ts" */

/** @type {LogProgress} */
const NOTHING = { after: 0, position: 0, head: "0".repeat(64) };

/**
 * Goes on in the logs by what was fetched of them.
 * @param {Logs} logs
 * @param {Entry[]} entries in order
 */
export function pass(logs, entries) {
  for (const { log = "", position = 0, head = "" } of entries) {
    const seen = logs[log] ?? NOTHING;
    logs[log] = further({ ...seen, after: Math.max(seen.after, position) }, position, head);
  }
}

/**
 * Goes on by what receipts say: there lies one more, which need not be the next.
 * @param {Logs} logs
 * @param {Receipt[]} receipts
 */
export function hear(logs, receipts) {
  for (const { log, position, head } of receipts)
    if (log && position && head) logs[log] = further(logs[log] ?? NOTHING, position, head);
}

/** @param {LogProgress} seen @param {number} position @param {string} head @returns {LogProgress} */
const further = (seen, position, head) => (position > seen.position ? { ...seen, position, head } : seen);

/**
 * Lets two pages that go on at the same time add what they found.
 * @param {Logs} some
 * @param {Logs} more
 * @returns {Logs}
 */
export function merged(some, more) {
  const both = { ...some };
  for (const [log, seen] of Object.entries(more)) {
    const here = both[log] ?? NOTHING;
    both[log] = further({ ...here, after: Math.max(here.after, seen.after) }, seen.position, seen.head);
  }
  return both;
}

/**
 * Has all of the logs fetched from their start; what was seen of them is held against them all the same.
 * @param {IDBObjectStore} kept
 */
export function beginAnew(kept) {
  after(kept.get("logs"), (/** @type {Logs} */ logs = {}) => {
    kept.put(Object.fromEntries(Object.entries(logs).map(([log, seen]) => [log, { ...seen, after: 0 }])), "logs");
  });
  kept.delete("ahead");
}
