// Photos in a file: their bytes as text.
import { sha256HexOfBytes } from "../engine/sha256.js";

/** @param {Record<string, any>} photo a row of the store @returns {Record<string, any>} what stands in a file */
export const photoOut = ({ hash, type, width, height, bytes, data }) => ({ hash, type, width, height, bytes, data: toBase64(data) });

/** @param {ArrayBuffer} buffer @returns {string} */
function toBase64(buffer) {
  const bytes = new Uint8Array(buffer);
  const pieces = [];
  for (let i = 0; i < bytes.length; i += 32768) pieces.push(String.fromCharCode(...bytes.subarray(i, i + 32768)));
  return btoa(pieces.join(""));
}

/**
 * Reads a photo of a file; its bytes must be those that its name says.
 * @param {any} photo
 * @param {number} i its place in the file
 * @param {any[]} records of the file
 * @param {string[]} problems gets a sentence where the photo is damaged
 * @returns {Record<string, any>[]} the row for the store, or none
 */
export function photoFrom(photo, i, records, problems) {
  try {
    const data = Uint8Array.from(atob(photo.data), (sign) => sign.charCodeAt(0));
    if (data.length === photo.bytes && sha256HexOfBytes(data) === photo.hash) {
      const { hash, type, width, height, bytes } = photo;
      const subject = records.find((record) => record?.kind === "photo" && record.body?.hash === hash)?.subject ?? null;
      return [{ hash, type, width, height, bytes, data: data.buffer, account: null, saved: "phone", problems: [], subject }];
    }
  } catch (error) {
    console.warn(error);
  }
  problems.push(`Photo ${i + 1} of the file is damaged; it was left out. The records are not touched by that.`);
  return [];
}
