// A photo over a slow line: in parts that fit it, from where the server says that it has come to.
import { ask } from "./http.js";

/** @import { Answer } from "./http.js" */
/** @import { StoredPhoto } from "../outbox/photos.js" */

/** Up to here a photo goes in one piece. */
export const SMALL = 16384;
const LEAST = 16384;
const MOST = 262144;
const FIRST = 65536;
const PART_MS = 60000;
const QUICK_MS = 5000;

/** How large the next part is: what the line carried last time. */
let size = FIRST;

/** The line carries not even a small part within a minute; what has come stays there. */
export class TooSlow extends Error {}

/**
 * @param {StoredPhoto} photo
 * @returns {Promise<Answer>} what became of the whole
 */
export async function sentInParts({ hash, bytes, data }) {
  let answer = await ask(`/api/photos/${hash}/parts`);
  while (answer.status === 200 && answer.body.status === "partial" && answer.body.hash === hash) {
    const start = /** @type {number} */ (answer.body.here);
    if (!(start >= 0 && start < bytes)) break; // no answer of ours; it is told as such
    answer = await sentPart(hash, start, data, { bytes });
  }
  return answer;
}

/**
 * @param {string} hash @param {number} start @param {ArrayBuffer} data @param {{bytes: number}} of
 * @returns {Promise<Answer>}
 */
async function sentPart(hash, start, data, { bytes }) {
  const began = Date.now();
  const part = data.slice(start, start + size);
  try {
    const answer = await ask(`/api/photos/${hash}/parts/${start}`, {
      method: "PUT",
      headers: { "Content-Type": "application/octet-stream" },
      body: part,
      signal: AbortSignal.timeout(PART_MS),
    });
    if (Date.now() - began < QUICK_MS) size = Math.min(MOST, size * 2);
    return answer;
  } catch (error) {
    if (/** @type {DOMException} */ (error)?.name !== "TimeoutError") throw error;
    const isLeast = size === LEAST;
    size = Math.max(LEAST, size >> 2);
    if (isLeast) throw new TooSlow(slowWords(start, bytes));
    return ask(`/api/photos/${hash}/parts`);
  }
}

/** @param {number} here @param {number} bytes */
const slowWords = (here, bytes) =>
  `The line is slow: ${Math.floor(here / 1024)} of ${Math.ceil(bytes / 1024)} kB have arrived; it goes on from there.`;
