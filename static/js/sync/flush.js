// Sends what waits and fetches what other devices stored. Sending twice is harmless: the server knows an id it has
// seen.
import { fewer, isDue } from "../lib/patience.js";
import { get } from "../outbox/db.js";
import { forget, takeBackUnconfirmed } from "../outbox/forgetting.js";
import { takeOver } from "../outbox/queue.js";
import { fetchLog, orBrokenOff } from "./http.js";
import { failureOf, NoRoom, SignInNeeded, send } from "./sending.js";
import { meet } from "./session.js";
import { note } from "./standing.js";

export { standing } from "./standing.js";

/** @import { News } from "../../../schemas/shapes/api.d.ts" */
/** @import { Walk } from "../outbox/stores.js" */

const EVERY_MS = 30000;
const LONGEST_MS = 600000;
const LONGEST_PAUSE_MS = 3600000;
const PATIENCE_MS = 60000;
const MOST = 200;

/** How many records are fetched at once; fewer over a slow way. */
let page = MOST;

let wait = EVERY_MS;
let timer = 0;
let isAskedAgain = false;
/** @type {Promise<void>|null} */
let running = null;

/** Starts sending: now, when the page is looked at again, when a network comes up, and by a timer. */
export function startSync() {
  for (const type of ["online", "focus"]) addEventListener(type, sync);
  addEventListener("pageshow", ({ persisted }) => persisted && sync());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sync());
  sync();
}

/**
 * Sends and fetches; a page that is already at it does so once more, for what has come in since.
 * @returns {Promise<void>}
 */
export function sync() {
  isAskedAgain = Boolean(running);
  running ??= rounds().finally(() => {
    running = null;
  });
  return running;
}

async function rounds() {
  do {
    isAskedAgain = false;
    await once();
  } while (isAskedAgain);
}

async function once() {
  clearTimeout(timer);
  try {
    await alone("fieldlog-sync", exchange);
    wait = EVERY_MS;
    note({ reached: true, problem: null });
  } catch (error) {
    missed(error);
  } finally {
    timer = setTimeout(sync, wait);
  }
}

/**
 * Nothing is lost or marked where the server was missed or wants another sign-in: all of it goes the next time.
 * @param {unknown} error
 */
function missed(error) {
  if (error instanceof SignInNeeded) return note({ reached: true, signedIn: false, name: null, problem: null });
  wait = Math.min(wait * 2, LONGEST_MS) * (0.75 + Math.random() / 2);
  note({ reached: error instanceof NoRoom, problem: /** @type {Error} */ (error)?.message ?? String(error) });
}

/**
 * Only one tab at a time, where the browser can tell; one that was put to sleep meanwhile is not waited for.
 * @param {string} name
 * @param {() => Promise<void>} work
 */
async function alone(name, work) {
  let isIn = false;
  const enter = () => {
    isIn = true;
    return work();
  };
  if (!navigator.locks) return work();
  return navigator.locks.request(name, { signal: AbortSignal.timeout(PATIENCE_MS) }, enter).catch((error) => {
    if (isIn) throw error;
    return work();
  });
}

/**
 * Photos get their turn as well where what is new could not be fetched. What the server no longer holds goes again once
 * it is known what it has.
 */
async function exchange() {
  await heedPause();
  const account = await meet();
  if (!account) return;
  // A server that has no room still gives what is new.
  const full = await send(account).catch((error) => (error instanceof NoRoom ? error : Promise.reject(error)));
  try {
    if ((await fetchNew(account)) && !full) await send(account);
  } finally {
    void photos(account);
  }
  if (full) throw full;
}

/** The server asked to be left alone for a while; a time too far ahead comes from a clock that was set back. */
async function heedPause() {
  const left = ((await get("kept", "pause")) ?? 0) - Date.now();
  if (left > 0 && left <= LONGEST_PAUSE_MS)
    throw new Error(`The server asked to wait ${Math.ceil(left / 1000)} seconds.`);
}

/**
 * What is kept of the logs stays before the first page with an entry that could not be taken over. What follows is
 * fetched all the same, and noted as being ahead; from what is kept it is gone again at the next chance, and where that
 * fails too after a while.
 * @param {string} account
 * @returns {Promise<boolean>} whether the server lacks what it had confirmed
 */
async function fetchNew(account) {
  const ahead = await get("kept", "ahead");
  const isWaiting = ahead?.logs && !isDue(ahead.not_before, Date.now());
  /** @type {Walk} */
  const walk = isWaiting ? ahead : { logs: (await get("kept", "logs")) ?? {}, tries: ahead?.tries ?? 0 };
  const found = { isLacking: false };
  while (await fetchPage(account, walk, found));
  page = Math.min(MOST, page * 2);
  if (walk.not_before !== undefined) return found.isLacking; // what was left out may be what is not confirmed
  const count = await takeBackUnconfirmed(walk.logs, account, (await get("kept", "own")) ?? null);
  return found.isLacking || count > 0;
}

/**
 * @returns {Promise<boolean>} whether there is more
 * @param {string} account @param {Walk} walk @param {{isLacking: boolean}} found
 */
async function fetchPage(account, walk, found) {
  const answer = await fetchLog(walk.logs, page, account).catch((error) => orBrokenOff(error, account));
  const { status, body } = answer;
  if (!status && page > 1) {
    page = fewer(page);
    return true;
  }
  if (status !== 200) throw failureOf(answer);
  const came = /** @type {News} */ (body); // what is none throws, and is gone for again
  const forgot = came.forgot.filter((log) => walk.logs[log]);
  if (forgot.length) {
    found.isLacking = true;
    await forget(forgot, account, came.own);
    for (const log of forgot) delete walk.logs[log];
    return true;
  }
  const isMore = came.more && came.records.length > 0;
  return (await takeOver(came, account, walk)) && isMore;
}

let arePhotosGoing = false;

/**
 * Photos go after the records and by themselves; nothing waits for them or fails with them.
 * @param {string} account
 */
async function photos(account) {
  if (arePhotosGoing) return;
  arePhotosGoing = true;
  try {
    const { lookForMissing, sendPhotos } = await import("./photos.js"); // no page needs it for its first screen
    await alone("fieldlog-photos", () => lookForMissing(account).finally(() => sendPhotos(account)));
  } catch (error) {
    console.warn("The photos could not be sent now.", error);
  } finally {
    arePhotosGoing = false;
  }
}
