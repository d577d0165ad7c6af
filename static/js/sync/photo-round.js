// One round of photos, each by itself. Whatever goes wrong with one, the server is asked who is signed in before
// anything is written down: without an answer the way is gone, with another name the session is, and neither is the
// photo's fault.
import { nextTry } from "../lib/patience.js";
import { get, put } from "../outbox/db.js";
import { FRESH, notePhoto, photoAt } from "../outbox/photo-rows.js";
import { NO_PICTURE, TYPES } from "../outbox/photo-types.js";
import { isWhole } from "../outbox/photos.js";
import { allRows } from "../outbox/queue.js";
import { ask } from "./http.js";
import { SMALL, sentInParts, TooSlow } from "./photo-parts.js";

/** @import { StoredPhoto } from "../outbox/photos.js" */
/** @import { Answer } from "./http.js" */
/** @import { Problem } from "../../../schemas/shapes/api.d.ts" */

const LIMIT_MS = 120000;
const LONGEST_PAUSE_MS = 3600000;

/** @param {string} problem @returns {Problem[]} */
const told = (problem) => [{ at: "", problem }];
/** @type {Partial<StoredPhoto>} */
const DAMAGED = {
  saved: "damaged",
  problems: told(
    "The photo is damaged on this phone, so it is not sent. The check is not touched. Take the photo again.",
  ),
};
/** @type {Partial<StoredPhoto>} */
const OTHER_TYPE = { saved: "refused", problems: told(`This ${NO_PICTURE}.`) };
/** @type {Partial<StoredPhoto>} */
const COPY = {
  saved: "refused",
  problems: told(
    "This is a server’s own copy of a photo, from a file, and this server does not have the photo. A phone " +
      "cannot send it; fieldlog import can take the file in.",
  ),
};

/** What can go wrong without being the photo's fault. */
class RoundEnds extends Error {}

/**
 * @param {{key: string, hash: string}[]} photos
 * @param {string} account
 */
export async function sendEach(photos, account) {
  const pause = ((await get("kept", "photo_pause")) ?? 0) - Date.now();
  if (pause > 0 && pause <= LONGEST_PAUSE_MS) return;
  const announced = await announcedPhotos(account);
  for (const { key, hash } of photos) if (announced.has(hash)) await sendOne(key, account);
}

/** @returns {Promise<Set<string>>} hashes of photos whose records the server has @param {string} account */
async function announcedPhotos(account) {
  const rows = (await allRows()).filter((row) => row.saved === "server" && row.account === account);
  return new Set(rows.flatMap(({ record }) => (record.kind === "photo" ? [record.body.hash] : [])));
}

/** @param {string} key @param {string} account */
async function sendOne(key, account) {
  const photo = await photoAt(key);
  if (photo?.saved !== "phone") return;
  if (!isWhole(photo)) return notePhoto(key, DAMAGED);
  if (!TYPES.includes(photo.type)) return notePhoto(key, OTHER_TYPE);
  const changed = await tried(photo);
  await sureOf(account);
  await notePhoto(key, changed);
}

/** @returns {Promise<Partial<StoredPhoto>>} what became of it @param {StoredPhoto} photo */
async function tried(photo) {
  try {
    if (photo.again && (await isThere(photo))) return { ...FRESH, saved: "server", again: false };
    return photo.kept ? await lookedFor(photo) : settled(photo, await sent(photo));
  } catch (error) {
    if (error instanceof RoundEnds) throw error;
    console.warn("A photo could not be sent.", error);
    return later(photo, error instanceof TooSlow ? error.message : wordsOf(/** @type {DOMException} */ (error)));
  }
}

/** @param {DOMException} error */
const wordsOf = ({ name }) =>
  name === "TimeoutError" ? "There was no answer for two minutes." : "What came back was no answer.";

/** What the server had once it is asked for before it is sent again. @param {StoredPhoto} photo */
async function isThere({ hash }) {
  return (await fetch(`/api/photos/${hash}`, { method: "HEAD", signal: AbortSignal.timeout(LIMIT_MS) })).ok;
}

/** @param {StoredPhoto} photo */
async function sent(photo) {
  const answer = await (photo.bytes > SMALL ? sentInParts(photo) : sentWhole(photo));
  if (answer.retry_s !== null) await put("kept", "photo_pause", Date.now() + answer.retry_s * 1000);
  if (answer.retry_s !== null || answer.status === 401) throw new RoundEnds(`The server answered ${answer.status}.`);
  return answer;
}

/** @param {StoredPhoto} photo */
function sentWhole({ hash, type, data }) {
  return ask(`/api/photos/${hash}`, {
    method: "PUT",
    headers: { "Content-Type": type },
    body: data,
    signal: AbortSignal.timeout(LIMIT_MS),
  });
}

/** @param {StoredPhoto} photo @param {Answer} answer @returns {Partial<StoredPhoto>} */
function settled(photo, { status, body }) {
  const problems = body.problems ?? [];
  const isAnswer = body.hash === photo.hash;
  if (isAnswer && (body.status === "stored" || body.status === "known")) return { ...FRESH, saved: "server" };
  // What broke on its way, or came before its record, gets another try.
  if ((isAnswer && body.status === "refused" && problems[0]?.at !== "/hash") || status === 413)
    return { ...FRESH, saved: "refused", problems };
  return later(photo, problems.map(({ problem }) => problem).join(" ") || `The server answered ${status}.`);
}

/**
 * A server's copy has other bytes than its name says, so it cannot be sent; but it may be there.
 * @param {StoredPhoto} photo
 * @returns {Promise<Partial<StoredPhoto>>}
 */
async function lookedFor(photo) {
  const { status, ok } = await fetch(`/api/photos/${photo.hash}`, {
    method: "HEAD",
    signal: AbortSignal.timeout(LIMIT_MS),
  });
  if (ok) return { ...FRESH, saved: "server" };
  return status === 404 ? COPY : later(photo, `The server answered ${status}.`);
}

/** @param {StoredPhoto} photo @param {string} sentence @returns {Partial<StoredPhoto>} */
function later(photo, sentence) {
  const tries = (photo.tries ?? 0) + 1;
  return {
    tries,
    not_before: nextTry(tries, Date.now()),
    problems: told(`The server failed on this photo; it is tried again by itself. ${sentence}`),
  };
}

/**
 * Another account's session would have been another's photo.
 * @param {string} account
 */
async function sureOf(account) {
  const { body } = await ask("/api/session");
  if (body.signed_in !== true || body.name !== account) throw new RoundEnds("Another session has begun.");
}
