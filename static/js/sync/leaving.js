// Signing out, with or without the server.
import { countedBoth } from "../lib/ages.js";
import { after, together, walk } from "../outbox/db.js";
import { isDraftOf, takeUp } from "../outbox/drafts.js";
import { belongs, tell } from "../outbox/rows.js";
import { endSession } from "./session.js";

/** @import { StoreName } from "../outbox/stores.js" */

/** @typedef {import("../outbox/rows.js").Row} Row */
/**
 * @typedef {"sent"|"locked"|"locked whole"|"discarded"} Choice what becomes of what is on this phone only: there is
 *   none, it waits, it waits with what the server has confirmed, it goes. What is typed and not finished waits with
 *   what is locked, and goes otherwise.
 */

/** @type {StoreName[]} */
const ALL = ["records", "photos", "drafts", "remembered", "kept"];
const PATIENCE_MS = 3000;

/**
 * Takes what belongs to the account off this phone and ends its session. Without the server the session is ended at
 * the next meeting with it, before anything else.
 * @param {Choice} choice
 * @returns {Promise<{isTold: boolean}>} whether the server knows
 */
export async function leave(choice) {
  const inTheWay = await takeAway(choice);
  if (inTheWay) throw new Error(`${inTheWay} on this phone only; choose what becomes of that.`);
  if (!isLocked(choice)) forgetTyping();
  await takeTrialAway();
  tell();
  try {
    await endSession(AbortSignal.timeout(PATIENCE_MS));
    return { isTold: true };
  } catch (error) {
    console.warn("The server will be told of the sign-out when it is met again.", error);
    return { isTold: false };
  }
}

/** A trial of this phone names nobody, but for what somebody wrote into its notes. It keeps no sign-out up. */
async function takeTrialAway() {
  try {
    await (await import("../outbox/trial-store.js")).forgetTrial();
  } catch (error) {
    console.warn("What was tried of this phone is still on it.", error);
  }
}

/** @returns {Promise<number>} how many forms the account, or nobody yet, has begun and not finished */
export async function unfinishedForms() {
  const found = { count: 0 };
  await together(["drafts", "kept"], "readonly", ({ drafts, kept }) => {
    found.count = 0;
    after(kept.get("account"), (account = null) => {
      walk(drafts, ({ key, value }) => (found.count += Number(isDraftOf(key, account) && isBegun(value))));
    });
  });
  return found.count;
}

/** @param {{reached?: unknown, started_at?: unknown, values?: object}} draft */
const isBegun = ({ reached, started_at, values }) => Boolean(reached || started_at || Object.keys(values ?? {}).length);

/** @returns {Promise<string|null>} what stands in the way; then nothing was changed @param {Choice} choice */
async function takeAway(choice) {
  /** @type {{inTheWay: string|null}} */
  const found = { inTheWay: null };
  await together(ALL, "readwrite", (stores) => {
    const account = stores.kept.get("account");
    /** @type {IDBRequest<Row[]>} */
    const all = stores.records.getAll();
    all.onsuccess = () => {
      const name = account.result ?? null;
      const mine = all.result.filter((row) => belongs(row, name));
      let photos = 0;
      /** @param {IDBCursorWithValue} cursor */
      const see = ({ value }) => (photos += Number(isUnsent(value) && belongs({ account: null, ...value }, name)));
      walk(stores.photos, see, () => {
        found.inTheWay = choice === "sent" ? unsentAmong(mine.filter(isUnsent).length, photos) : null;
        if (!found.inTheWay) clear(stores, mine, name, choice);
      });
    };
  });
  return found.inTheWay;
}

/** @param {Choice} choice */
const isLocked = (choice) => choice.startsWith("locked");

/** @param {{saved: string}} row */
const isUnsent = ({ saved }) => saved !== "server";

/** @param {number} records @param {number} photos @returns {string|null} */
function unsentAmong(records, photos) {
  if (!records && !photos) return null;
  return `${countedBoth(records, photos)} ${records + photos === 1 ? "is" : "are"}`;
}

/**
 * @param {Record<StoreName, IDBObjectStore>} stores
 * @param {Row[]} mine
 * @param {string|null} name
 * @param {Choice} choice
 */
function clear({ records, photos, drafts, remembered, kept }, mine, name, choice) {
  /** @param {{saved: string}} row */
  const stays = (row) => choice === "locked whole" || (isUnsent(row) && choice === "locked");
  for (const row of mine) {
    if (stays(row)) records.put({ ...row, account: name });
    else records.delete(row.id);
  }
  walk(photos, (cursor) => {
    if (!belongs({ account: null, ...cursor.value }, name)) return;
    if (stays(cursor.value)) cursor.update({ ...cursor.value, account: name });
    else cursor.delete();
  });
  walk(drafts, (cursor) => {
    if (!isDraftOf(cursor.key, name)) return;
    if (isLocked(choice)) takeUp(drafts, cursor, name);
    else cursor.delete();
  });
  if (!isLocked(choice)) forgetName(kept, name);
  remembered.clear();
  for (const key of ["account", "logs", "own", "ahead", "lost", "gone", "photos_asked", "pause", "photo_pause"])
    kept.delete(key);
  const session = kept.get("session");
  session.onsuccess = () => {
    kept.put(session.result ?? true, "leaving");
    kept.delete("session");
  };
}

/** @param {IDBObjectStore} kept @param {string|null} name */
function forgetName(kept, name) {
  kept.put(Date.now(), "forgot");
  after(kept.get("identities"), (/** @type {Record<string, string>} */ all = {}) => {
    const { [name ?? ""]: _, ...others } = all;
    if (Object.keys(others).length) kept.put(others, "identities");
    else kept.delete("identities");
  });
}

/** What this tab left of its forms for a reload; what others left no longer counts by the time that is kept. */
function forgetTyping() {
  try {
    for (const key of Object.keys(sessionStorage))
      if (key.startsWith("fieldlog-draft:")) sessionStorage.removeItem(key);
  } catch (error) {
    console.warn(error); // a browser may refuse this storage; then nothing is in it
  }
}
