// From a file to a photo as it is kept: smaller, upright, and bare of what a camera writes beside the picture.
import { sha256HexOfBytes } from "../engine/sha256.js";

const LONGEST_SIDE = 1600;
const QUALITY = 0.82;
const TYPE = "image/jpeg";
const NO_PICTURE = "This file cannot be opened as a picture. Take the photo anew, or choose a JPEG or PNG.";
const NOT_DRAWN = "The browser could not make the photo smaller. Close other pages and try again.";

/**
 * Gives the size in which a picture is kept.
 * @param {number} width
 * @param {number} height
 * @returns {{width: number, height: number}}
 */
export function keptSize(width, height) {
  const scale = Math.min(1, LONGEST_SIDE / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/** @param {File} file @returns {Promise<import("../outbox/photos.js").Photo>} */
export async function photoFrom(file) {
  const address = URL.createObjectURL(file);
  try {
    const picture = await opened(address);
    const { width, height } = keptSize(picture.naturalWidth, picture.naturalHeight);
    const data = await drawn(picture, width, height);
    return { hash: sha256HexOfBytes(new Uint8Array(data)), type: TYPE, width, height, bytes: data.byteLength, data };
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** @param {string} address @returns {Promise<HTMLImageElement>} an image turned upright as its file says */
async function opened(address) {
  const picture = new Image();
  picture.src = address;
  await picture.decode().catch((error) => {
    throw new Error(NO_PICTURE, { cause: error });
  });
  if (!picture.naturalWidth || !picture.naturalHeight) throw new Error(NO_PICTURE);
  return picture;
}

/**
 * @returns {Promise<ArrayBuffer>}
 * @param {ImageBitmap|HTMLImageElement} picture
 * @param {number} width
 * @param {number} height
 */
async function drawn(picture, width, height) {
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const context = canvas.getContext("2d");
  if (!context) throw new Error(NOT_DRAWN);
  context.fillStyle = "white";
  context.fillRect(0, 0, width, height);
  context.drawImage(picture, 0, 0, width, height);
  const blob = await new Promise((done) => canvas.toBlob(done, TYPE, QUALITY));
  canvas.width = canvas.height = 0; // gives the memory back at once
  if (blob?.type !== TYPE) throw new Error(NOT_DRAWN);
  return blob.arrayBuffer();
}
