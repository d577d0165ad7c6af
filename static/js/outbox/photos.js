// The photos on this phone. What is said of a photo is a record like any other. Its row lies under the SHA-256 of its
// bytes; where several accounts keep the same picture each has a row of its own, the later ones under that and a
// mark.
import { sha256HexOfBytes } from "../engine/sha256.js";
import { uuid7 } from "../lib/uuid7.js";
import { chains } from "./chains.js";
import { after, together } from "./db.js";
import { refuseOthers } from "./drafts.js";
import { belongs, newRow, tell } from "./rows.js";

/** @import { Row } from "./rows.js" */
/** @import { Problem } from "../../../schemas/shapes/api.d.ts" */
/** @import { RecordPhoto } from "../../../schemas/shapes/record.d.ts" */

/**
 * @typedef {object} Photo
 * @property {string} hash SHA-256 of the picture as it was taken, hex
 * @property {string} type
 * @property {number} width
 * @property {number} height
 * @property {number} bytes
 * @property {ArrayBuffer} data not a Blob: some browsers give those back empty
 * @property {string} [kept] SHA-256 of data, where a server drew it anew from the picture with that hash
 */

/**
 * @typedef {object} Fate of a photo
 * @property {string|null} account
 * @property {"phone"|"server"|"refused"|"damaged"} saved
 * @property {Problem[]} problems
 * @property {string|null} subject
 * @property {boolean} [again] the server may still have it, so it is asked first
 * @property {number} [tries] as of a record's row
 * @property {number} [not_before] likewise
 */

/** @typedef {Photo & Fate & {key: string}} PhotoRow key: where its row lies */
/** @typedef {Omit<PhotoRow, "data">} Pictureless a photo without its bytes */
/**
 * As a row is stored: hash is its key, and one of an earlier release does not say whose it is.
 * @typedef {Photo & Omit<Fate, "account"> & {account?: string|null}} StoredPhoto
 */

/** Keys of photos that the server has; their bytes are not read again while this page is open. @type {Set<string>} */
const arrived = new Set();

const HASH_SIGNS = 64;

/** @type {Pick<Fate, "saved"|"problems"|"tries"|"not_before">} A photo that the server has not said anything of. */
export const FRESH = { saved: "phone", problems: [], tries: 0, not_before: 0 };

/**
 * @template {Omit<StoredPhoto, "data">} Stored
 * @param {Stored} row
 */
const photoOf = (row) =>
  /** @type {Stored & {account: string|null, key: string}} */ ({
    account: null,
    ...row,
    key: row.hash,
    hash: row.hash.slice(0, HASH_SIGNS),
  });

/**
 * Finds the row in which an account has a picture, or would have it.
 * @param {IDBObjectStore} photos
 * @param {string} hash
 * @param {string|null} account
 * @param {(key: string, photo: PhotoRow|undefined) => void} act
 */
export function findPhoto(photos, hash, account, act) {
  after(/** @type {IDBRequest<StoredPhoto[]>} */ (photos.getAll(IDBKeyRange.bound(hash, `${hash}~`))), (rows) => {
    const own = rows.map(photoOf).find((photo) => belongs(photo, account));
    act(own?.key ?? (rows.length ? `${hash}:${uuid7()}` : hash), own);
  });
}

/**
 * Keeps a photo and its record on this phone: both, or neither.
 * @param {Photo} photo
 * @param {RecordPhoto} record
 * @param {string|null} [typedBy] whose record it is about
 */
export async function keepPhoto(photo, record, typedBy) {
  await together(["records", "photos", "kept"], "readwrite", ({ records, photos, kept }) => {
    after(kept.get("account"), (account = null) => {
      refuseOthers(typedBy, account);
      findPhoto(photos, photo.hash, account, (key) => {
        arrived.delete(key);
        photos.put({ ...photo, hash: key, account, saved: "phone", problems: [], subject: record.subject });
        records.put(newRow(record, account));
      });
    });
  });
  tell();
}

/** @param {string} hash @returns {Promise<PhotoRow|undefined>} as the account at this phone has it */
export async function photoWithHash(hash) {
  /** @type {{photo?: PhotoRow}} */
  const found = {};
  await together(["photos", "kept"], "readonly", ({ photos, kept }) => {
    after(kept.get("account"), (account = null) =>
      findPhoto(photos, hash, account, (_, photo) => (found.photo = photo)),
    );
  });
  return found.photo;
}

/** @param {Photo} photo @returns {boolean} whether the bytes are still those that were kept */
export function isWhole({ data, bytes, hash, kept = hash }) {
  return data instanceof ArrayBuffer && data.byteLength === bytes && sha256HexOfBytes(new Uint8Array(data)) === kept;
}

/**
 * @returns {Promise<{mine: Pictureless[], others: Pictureless[]}>} photos that the server does not have, of the
 *   account at this phone and of others
 */
export async function unsentPhotos() {
  /** @type {{account: string|null, photos: Pictureless[]}} */
  const found = { account: null, photos: [] };
  await together(["photos", "kept"], "readonly", ({ photos, kept }) => {
    after(kept.get("account"), (account = null) => Object.assign(found, { account, photos: [] }));
    after(/** @type {IDBRequest<string[]>} */ (photos.getAllKeys()), (keys) => {
      for (const key of keys) if (!arrived.has(key)) after(photos.get(key), see);
    });
  });
  /** @param {StoredPhoto} photo */
  function see({ data: _, ...row }) {
    if (row.saved === "server") arrived.add(row.hash);
    else found.photos.push(photoOf(row));
  }
  /** @param {Pictureless} photo */
  const isMine = (photo) => belongs(photo, found.account);
  return { mine: found.photos.filter(isMine), others: found.photos.filter((photo) => !isMine(photo)) };
}

/** @returns {Promise<Set<string>>} the hashes of photos that are on this phone, whoever's they are */
export async function photosHere() {
  const keys = await together(
    ["photos"],
    "readonly",
    ({ photos }) => /** @type {IDBRequest<string[]>} */ (photos.getAllKeys()),
  );
  return new Set(keys.map((key) => key.slice(0, HASH_SIGNS)));
}

/**
 * @param {Row[]} rows in order
 * @param {string[]} ids of a chain
 * @returns {Row[]} the records of its photos as they stand now
 */
export function photoRecords(rows, ids) {
  const ofPhotos = chains(rows).filter(
    ([first]) => first?.record.kind === "photo" && ids.includes(first.record.subject),
  );
  return ofPhotos.map((chain) => /** @type {Row} */ (chain.at(-1)));
}

/** Lets a photo that changed in the store be looked at again. @param {string} key */
export const forgetArrival = (key) => arrived.delete(key);

/** Lets all photos be looked at again. */
export const forgetArrivals = () => arrived.clear();
