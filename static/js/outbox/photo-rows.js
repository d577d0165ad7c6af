// What becomes of a photo that is on this phone: sent, refused, failed on, sent again, discarded, put back.
import { after, together, walk } from "./db.js";
import { FRESH, findPhoto, forgetArrival, forgetArrivals } from "./photos.js";
import { belongs, tell } from "./rows.js";

/** @import { StoredPhoto } from "./photos.js" */

/** @typedef {import("./photos.js").PhotoRow} PhotoRow */

export { FRESH } from "./photos.js";

/**
 * @param {string} key
 * @returns {Promise<StoredPhoto & {key: string}|undefined>} where it is the account's at this phone
 */
export async function photoAt(key) {
  /** @type {{photo?: StoredPhoto & {key: string}}} */
  const found = {};
  await withPhoto(key, "readonly", (row) => (found.photo = { ...row, key, hash: key.slice(0, 64) }));
  return found.photo;
}

/** Notes what became of a photo. @param {string} key @param {Partial<StoredPhoto>} changed */
export async function notePhoto(key, changed) {
  await withPhoto(key, "readwrite", (row, photos, account) => void photos.put({ ...row, account, ...changed }));
  forgetArrival(key);
  tell();
}

/**
 * Takes back that photos of the account at this phone are on the server.
 * @param {string[]} hashes
 */
export async function takeBackPhotos(hashes) {
  if (!hashes.length) return;
  const lost = new Set(hashes);
  await together(["photos", "kept"], "readwrite", ({ photos, kept }) => {
    after(kept.get("account"), (account = null) => {
      walk(photos, (cursor) => {
        /** @type {StoredPhoto} */
        const row = cursor.value;
        const isLost = row.saved === "server" && lost.has(row.hash.slice(0, 64));
        if (isLost && belongs({ account: null, ...row }, account)) cursor.update({ ...row, ...FRESH });
      });
    });
  });
  forgetArrivals();
  tell();
}

/**
 * Takes a photo off this phone.
 * @param {string} key
 * @returns {Promise<StoredPhoto|undefined>} its row, for putBack()
 */
export async function discardPhoto(key) {
  /** @type {{row?: StoredPhoto}} */
  const found = {};
  await withPhoto(key, "readwrite", (row, photos) => {
    found.row = row;
    photos.delete(key);
  });
  tell();
  return found.row;
}

/** @param {StoredPhoto} row as it was before it was discarded */
export async function putBack(row) {
  await together(["photos", "kept"], "readwrite", ({ photos, kept }) => {
    after(kept.get("account"), (account = null) => {
      /** @param {string} key @param {PhotoRow|undefined} own */
      const put = (key, own) => own || photos.put({ ...row, hash: key });
      if (belongs({ account: null, ...row }, account)) findPhoto(photos, row.hash.slice(0, 64), account, put);
    });
  });
  tell();
}

/**
 * Acts on the row under a key, where it is the account's at this phone.
 * @param {string} key
 * @param {"readonly"|"readwrite"} mode
 * @param {(row: StoredPhoto, photos: IDBObjectStore, account: string|null) => void} act
 */
function withPhoto(key, mode, act) {
  return together(["photos", "kept"], mode, ({ photos, kept }) => {
    after(kept.get("account"), (account = null) => {
      after(photos.get(key), (row) => row && belongs({ account: null, ...row }, account) && act(row, photos, account));
    });
  });
}
