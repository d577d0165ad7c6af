// Where a server does not hold what it once confirmed: what was said to be on it is taken back.
import { after, together, walk } from "./db.js";
import { FRESH, forgetArrivals } from "./photos.js";
import { belongs, tell } from "./rows.js";

/** @import { Logs } from "./stores.js" */
/** @import { Row } from "./rows.js" */
/** @import { StoredPhoto } from "./photos.js" */

/**
 * @param {Row} row one of an earlier release does not say its log
 * @param {string|null} own the log of what belongs to no rig, null while it is not known
 * @returns {string} the log in which a record lies, or would
 */
const logOf = ({ log, record }, own) => log ?? record.rig ?? own ?? "";

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
 * Takes back "on the server" for records that it says it has not.
 * @param {string[]} ids
 * @param {string} account
 */
export const takeBackRecords = (ids, account) =>
  takeBack(
    account,
    ({ id }) => ids.includes(id),
    () => undefined,
  );

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
