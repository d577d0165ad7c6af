// Signing out, with or without the server.
import { endSession } from "../sync/session.js";
import { together, walk } from "./db.js";
import { belongs, tell } from "./rows.js";

/** @typedef {import("./rows.js").Row} Row */
/** @typedef {"sent"|"locked"|"discarded"} Choice what becomes of records that are on this phone only: there are none, they wait, they go */

const ALL = ["records", "photos", "drafts", "remembered", "kept"];
const PATIENCE_MS = 3000;

/**
 * Takes what belongs to the account off this phone and ends its session. Without the server the session is ended at the next
 * meeting with it, before anything else.
 * @param {Choice} choice
 * @returns {Promise<{isTold: boolean}>} whether the server knows
 */
export async function leave(choice) {
  const inTheWay = await takeAway(choice);
  if (inTheWay) throw new Error(`${inTheWay} on this phone only; choose what becomes of that.`);
  forgetTyping();
  tell();
  try {
    await endSession(AbortSignal.timeout(PATIENCE_MS));
    return { isTold: true };
  } catch (error) {
    console.warn("The server will be told of the sign-out when it is met again.", error);
    return { isTold: false };
  }
}

/** @returns {Promise<string|null>} what stands in the way; then nothing was changed */
async function takeAway(choice) {
  const found = { inTheWay: null };
  await together(ALL, "readwrite", (stores) => {
    const account = stores.kept.get("account");
    stores.records.getAll().onsuccess = ({ target }) => {
      const name = account.result ?? null;
      const mine = target.result.filter((row) => belongs(row, name));
      const photos = new Set();
      const see = ({ value }) => value.saved === "phone" && photos.add(value.hash);
      walk(stores.photos, see, () => {
        found.inTheWay = choice === "sent" ? unsentAmong(mine, photos) : null;
        if (!found.inTheWay) clear(stores, mine, name, choice);
      });
    };
  });
  return found.inTheWay;
}

const isUnsent = ({ saved }) => saved !== "server";

/** @param {Row[]} mine @param {Set<string>} photos those whose bytes the server does not have @returns {string|null} */
function unsentAmong(mine, photos) {
  const records = mine.filter(isUnsent).length;
  if (records) return records === 1 ? "1 record is" : `${records} records are`;
  const waiting = mine.filter(({ record }) => record.kind === "photo" && photos.has(record.body.hash)).length;
  if (waiting) return waiting === 1 ? "1 photo is" : `${waiting} photos are`;
  return null;
}

function clear({ records, photos, drafts, remembered, kept }, mine, name, choice) {
  const stays = (row) => isUnsent(row) && choice === "locked";
  for (const row of mine) {
    if (stays(row)) records.put({ ...row, account: name });
    else records.delete(row.id);
  }
  walk(photos, (cursor) => {
    if (!belongs({ account: null, ...cursor.value }, name)) return;
    if (stays(cursor.value)) cursor.update({ ...cursor.value, account: name });
    else cursor.delete();
  });
  drafts.clear();
  remembered.clear();
  for (const key of ["account", "cursor", "pause"]) kept.delete(key);
  kept.get("session").onsuccess = ({ target }) => {
    kept.put(target.result ?? true, "leaving");
    kept.delete("session");
  };
}

/** What this page left of its forms for a reload. */
function forgetTyping() {
  try {
    for (const key of Object.keys(sessionStorage)) if (key.startsWith("fieldlog-draft:")) sessionStorage.removeItem(key);
  } catch (error) {
    console.warn(error); // a browser may refuse this storage; then nothing is in it
  }
}
