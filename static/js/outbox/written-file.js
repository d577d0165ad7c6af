// What a phone holds, as a file.
import { localIso } from "../lib/times.js";
import { get, transact } from "./db.js";
import { allRows, belongs } from "./rows.js";

/** @import { StoredPhoto } from "./photos.js" */
/** @import { Row } from "./rows.js" */

export const WHAT = "fieldlog phone export";
export const VERSION = 1;

/**
 * Writes what is on this phone into a file; things that are spoken of stand before what speaks of them.
 * @param {{all: boolean}} which all, or what the server does not have
 * @returns {Promise<{name: string, text: string, count: number, photos: number}>} count of records, and of photos
 */
export async function exportFile({ all }) {
  const account = (await get("kept", "account")) ?? null;
  /** @param {{saved: string}} row */
  const isIn = ({ saved }) => all || saved !== "server";
  const rows = (await allRows()).filter(isIn);
  const kept = (
    await transact("photos", "readonly", (store) => /** @type {IDBRequest<StoredPhoto[]>} */ (store.getAll()))
  ).filter((photo) => belongs({ account: null, ...photo }, account) && isIn(photo));
  const made_at = localIso(new Date());
  const text = JSON.stringify({
    what: WHAT,
    version: VERSION,
    made_at,
    account,
    records: rows.map(({ record }) => record),
    photos: kept.map(photoOut),
  });
  return {
    name: `fieldlog-${all ? "all" : "unsent"}-${made_at.slice(0, 16).replace(/[-:]/g, "").replace("T", "-")}.json`,
    text,
    count: rows.length,
    photos: kept.length,
  };
}

/**
 * A server's own copy names its own bytes beside those of the photo that it was drawn from.
 * @param {StoredPhoto} photo
 */
const photoOut = ({ hash, kept, type, width, height, bytes, data }) => ({
  hash: hash.slice(0, 64),
  ...(kept && { kept }),
  type,
  width,
  height,
  bytes,
  data: toBase64(data),
});

/** @param {ArrayBuffer} buffer @returns {string} */
function toBase64(buffer) {
  const bytes = new Uint8Array(buffer);
  const pieces = [];
  for (let i = 0; i < bytes.length; i += 32768) pieces.push(String.fromCharCode(...bytes.subarray(i, i + 32768)));
  return btoa(pieces.join(""));
}
