// What this phone knows of the server's logs, and what follows where a server does not hold what it once confirmed: a
// backup was put back, or it is another copy. Each log is a chain of hashes; its head names all of it up to a position.
import { after, together, walk } from "./db.js";
import { FRESH, forgetArrivals } from "./photos.js";
import { belongs, tell } from "./rows.js";

/** @import { Row } from "./rows.js" */
/** @import { Logs, Seen } from "./stores.js" */
/** @import { Entry, Receipt } from "../../../schemas/shapes/api.d.ts" */
/** @import { StoredPhoto } from "./photos.js" */

/** @type {Seen} */
const NOTHING = { after: 0, position: 0, head: "0".repeat(64) };

/**
 * @param {Row} row one of an earlier release does not say its log
 * @param {string|null} own the log of what belongs to no rig, null while it is not known
 * @returns {string} the log in which a record lies, or would
 */
const logOf = ({ log, record }, own) => log ?? record.rig ?? own ?? "";

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

/** @param {Seen} seen @param {number} position @param {string} head @returns {Seen} */
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

/**
 * Takes back "on the server" for every record of logs that do not hold what was seen of them, and for their photos; all
 * of it is asked for and sent anew.
 * @param {string[]} forgot
 * @param {string} account
 * @param {string|null} own
 */
export function forget(forgot, account, own) {
  /** @param {Row} row */
  const isLost = (row) => forgot.includes(logOf(row, own));
  return takeBack(account, isLost, ({ kept }) => {
    after(kept.get("logs"), (/** @type {Logs} */ logs = {}) => {
      for (const log of forgot) delete logs[log];
      kept.put(logs, "logs");
    });
    kept.delete("ahead");
  });
}

/**
 * Takes back "on the server" for what is not within what the server has just confirmed, once all of it was fetched.
 * @param {Logs} logs
 * @param {string} account
 * @param {string|null} own
 */
export function takeBackUnconfirmed(logs, account, own) {
  /** @param {Row} row */
  const isLost = (row) => !((row.position ?? Infinity) <= (logs[logOf(row, own)]?.position ?? 0));
  return takeBack(account, isLost, () => undefined);
}

/**
 * @param {string} account
 * @param {(row: Row) => boolean} isLost
 * @param {(stores: {kept: IDBObjectStore}) => void} also
 * @returns {Promise<number>} how many records wait again
 */
async function takeBack(account, isLost, also) {
  const found = { count: 0 };
  await together(["records", "photos", "kept"], "readwrite", (stores) => {
    found.count = 0;
    after(stores.kept.get("account"), (whose) => {
      if (whose !== account) return;
      after(/** @type {IDBRequest<Row[]>} */ (stores.records.getAll()), (rows) => {
        const lost = rows.filter((row) => row.saved === "server" && row.account === account && isLost(row));
        for (const row of lost) stores.records.put(again(row));
        found.count = lost.length;
        takeBackPhotos(stores.photos, lost, account);
      });
      also(stores);
    });
  });
  if (found.count) tell();
  return found.count;
}

/** @param {Row} row @returns {Row} */
export const again = ({ log: _, position: __, ...row }) => ({
  ...row,
  saved: "phone",
  seq: null,
  problems: [],
  again: true,
});

/** @param {IDBObjectStore} photos @param {Row[]} lost @param {string} account */
function takeBackPhotos(photos, lost, account) {
  const hashes = new Set(lost.flatMap(({ record }) => (record.kind === "photo" ? [record.body.hash] : [])));
  if (!hashes.size) return;
  forgetArrivals();
  walk(photos, (cursor) => {
    /** @type {StoredPhoto} */
    const photo = cursor.value;
    const isLost = photo.saved === "server" && hashes.has(photo.hash.slice(0, 64));
    if (isLost && belongs({ account: null, ...photo }, account)) cursor.update({ ...photo, ...FRESH, again: true });
  });
}
