import { sha256Hex } from "../engine/sha256.js";

/**
 * Gives the lower-case hex SHA-256 of a text's UTF-8 bytes by the browser's own, which is quicker by far; outside
 * secure contexts there is none.
 * @param {string} text
 * @returns {Promise<string>}
 */
export async function quickHash(text) {
  if (!globalThis.crypto?.subtle) return sha256Hex(text);
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text)));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
