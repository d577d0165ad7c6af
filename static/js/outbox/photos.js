// The photos on this phone, each under the SHA-256 of its bytes. What is said of a photo is a record like any other.
import { sha256HexOfBytes } from "../engine/sha256.js";
import { chains } from "./chains.js";
import { get, together, transact } from "./db.js";
import { allRows, newRow, tell } from "./rows.js";

/**
 * @typedef {object} Photo
 * @property {string} hash SHA-256 of data, hex
 * @property {string} type
 * @property {number} width
 * @property {number} height
 * @property {number} bytes
 * @property {ArrayBuffer} data not a Blob: some browsers give those back empty
 */

/**
 * @typedef {Photo & {account: string|null, saved: "phone"|"server"|"refused"|"damaged", problems: {at: string, problem: string}[], subject: string}} PhotoRow
 */

const DAMAGED = "The photo is damaged on this phone, so it is not sent. The check is not touched. Take the photo again.";

/**
 * Keeps a photo and its record on this phone: both, or neither.
 * @param {Photo} photo
 * @param {Record<string, any>} record
 */
export async function keepPhoto(photo, record) {
  await together(["records", "photos", "kept"], "readwrite", ({ records, photos, kept }) => {
    kept.get("account").onsuccess = ({ target }) => {
      const account = target.result ?? null;
      photos.put({ ...photo, account, saved: "phone", problems: [], subject: record.subject });
      records.put(newRow(record, account));
    };
  });
  tell();
}

/** @param {string} hash @returns {Promise<PhotoRow|undefined>} */
export function photoWithHash(hash) {
  return get("photos", hash);
}

/** @param {PhotoRow} photo @returns {boolean} whether the bytes are still those that were kept */
export function isWhole({ data, bytes, hash }) {
  return data instanceof ArrayBuffer && data.byteLength === bytes && sha256HexOfBytes(new Uint8Array(data)) === hash;
}

/** Notes what became of a photo. @param {string} hash @param {Partial<PhotoRow>} changed */
export async function notePhoto(hash, changed) {
  await transact("photos", "readwrite", (photos) => {
    photos.get(hash).onsuccess = ({ target }) => target.result && photos.put({ ...target.result, ...changed });
  });
  tell();
}

/** @param {string} hash */
export function noteDamage(hash) {
  return notePhoto(hash, { saved: "damaged", problems: [{ at: "", problem: DAMAGED }] });
}

/** @param {import("./rows.js").Row[]} rows in order @param {string[]} ids of a chain @returns {import("./rows.js").Row[]} the records of its photos as they stand now */
export function photoRecords(rows, ids) {
  const ofPhotos = chains(rows).filter(([{ record }]) => record.kind === "photo" && ids.includes(record.subject));
  return ofPhotos.map((chain) => chain.at(-1));
}

/** @param {string} account @returns {Promise<string[]>} hashes of photos whose records the server has */
export async function announcedPhotos(account) {
  const announced = (await allRows()).filter((row) => row.record.kind === "photo" && row.saved === "server" && row.account === account);
  return [...new Set(announced.map(({ record }) => record.body.hash))];
}
