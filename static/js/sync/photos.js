// Sends photos after their records, one by one. A photo that cannot go holds up neither the others nor any record.
import { announcedPhotos, isWhole, noteDamage, notePhoto, photoWithHash } from "../outbox/photos.js";
import { ask } from "./http.js";

const LIMIT_MS = 120000;

/** Photos that need not be looked at again while this page is open. @type {Set<string>} */
const arrived = new Set();

/** @param {string} account whose photos go */
export async function sendPhotos(account) {
  for (const hash of await announcedPhotos(account)) if (!arrived.has(hash)) await sendPhoto(hash);
}

/** @param {string} hash */
async function sendPhoto(hash) {
  const photo = await photoWithHash(hash);
  if (photo?.saved === "server") arrived.add(hash);
  if (photo?.saved !== "phone") return;
  if (!isWhole(photo)) return noteDamage(hash);
  const answer = await ask(`/api/photos/${hash}`, {
    method: "PUT",
    headers: { "Content-Type": photo.type },
    body: photo.data,
    signal: AbortSignal.timeout(LIMIT_MS),
  });
  return settlePhoto(hash, answer);
}

/** What broke on its way, and a server that fails, get another try at the next meeting. */
async function settlePhoto(hash, { status, body, retry_s }) {
  const problems = body.problems ?? [];
  if (status === 401 || (retry_s ?? null) !== null) throw new Error(`The server answered ${status}.`);
  if (body.hash === hash && ["stored", "known"].includes(body.status)) return notePhoto(hash, { saved: "server", problems: [] });
  if (body.hash === hash && body.status === "refused" && problems[0]?.at !== "/hash") return notePhoto(hash, { saved: "refused", problems });
  console.warn(`The server answered ${status} to a photo; it is sent again later.`);
}
