// Photos of a file: their bytes stand in it as text.
import { sha256HexOfBytes } from "../engine/sha256.js";
import { NO_PICTURE, TYPES } from "./photo-types.js";

/** @import { StoredPhoto } from "./photos.js" */
/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */

const HASH = /^[0-9a-f]{64}$/;
const DAMAGED = "is damaged";

/**
 * Reads a photo of a file; its bytes must be those that its name says, or those that a server says it drew from them.
 * @param {any} photo as it stands in the file
 * @param {number} i its place in the file
 * @param {any[]} records of the file, as they stand in it
 * @param {string[]} problems gets a sentence where the photo is left out
 * @returns {StoredPhoto[]} the row for the store, or none
 */
export function photoFrom(photo, i, records, problems) {
  const data = bytesOf(photo);
  const problem = !data ? DAMAGED : TYPES.includes(photo.type) ? null : NO_PICTURE;
  if (problem) {
    problems.push(`Photo ${i + 1} of the file ${problem}; it was left out. The records are not touched by that.`);
    return [];
  }
  const { hash, kept, type, width, height, bytes } = photo;
  const subject = records.find((record) => record?.kind === "photo" && record.body?.hash === hash)?.subject ?? null;
  return [
    {
      hash,
      ...(kept && { kept }),
      type,
      width,
      height,
      bytes,
      data,
      account: null,
      saved: "phone",
      problems: [],
      subject,
    },
  ];
}

/**
 * @returns {ArrayBuffer|null} null where they are not what the file says
 * @param {any} photo as it stands in the file
 */
function bytesOf(photo) {
  try {
    const data = Uint8Array.from(atob(photo.data), (sign) => sign.charCodeAt(0));
    const isRight =
      HASH.test(photo.hash) && data.length === photo.bytes && sha256HexOfBytes(data) === (photo.kept ?? photo.hash);
    return isRight ? data.buffer : null;
  } catch (error) {
    console.warn(error);
    return null;
  }
}
