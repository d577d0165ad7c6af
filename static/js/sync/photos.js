// Sends photos after their records. A photo that cannot go holds up neither the others nor any record.
import { isDue } from "../lib/patience.js";
import { unsentPhotos } from "../outbox/photos.js";
import { sendEach } from "./photo-round.js";

export { lookForMissing } from "./missing-photos.js";

/** @type {Promise<void>|null} */
let running = null;

/**
 * @param {string} account whose photos go
 * @returns {Promise<void>} once each that can go now was tried; a round under way is waited for
 */
export function sendPhotos(account) {
  running ??= round(account).finally(() => {
    running = null;
  });
  return running;
}

/** @param {string} account */
async function round(account) {
  const { mine } = await unsentPhotos();
  const due = mine.filter((photo) => photo.saved === "phone" && isDue(photo.not_before ?? 0, Date.now()));
  if (due.length) await sendEach(due, account);
}
