// Who is signed in, and the end of that.
import { clockOffset } from "../lib/patience.js";
import { localIso } from "../lib/times.js";
import { get, put, remove, together, walk } from "../outbox/db.js";
import { takeUp } from "../outbox/drafts.js";
import { tell } from "../outbox/rows.js";
import { setAside } from "../outbox/setting-aside.js";
import { ask } from "./http.js";
import { note } from "./standing.js";

/** @import { StoreName } from "../outbox/stores.js" */
/** @import { Body } from "./http.js" */

/**
 * Meets the server: ends a session that was left without it, asks who is signed in, and reads its clock.
 * @returns {Promise<string|null>} the account that is signed in and at this phone now
 */
export async function meet() {
  const before = Date.now();
  const { body } = await ask("/api/session");
  if (typeof body.signed_in !== "boolean") throw new Error("The server does not say who is signed in.");
  if (await wasLeft(body)) return null;
  await keepClock(clockOffset(/** @type {string} */ (body.now), before, Date.now()));
  const name = (body.signed_in && body.name) || null;
  note({ signedIn: body.signed_in, name });
  if (name === null || !(await enter(name, body.session ?? null, body.account ?? null))) return null;
  await keepHandedOver(body.handed_over ?? []);
  return name;
}

/**
 * Ends a session that was left without the server. One that was opened since is another, and stays.
 * @returns {Promise<boolean|undefined>} whether this session was left
 * @param {Body} body
 */
async function wasLeft({ signed_in: isSignedIn, session }) {
  const left = await get("kept", "leaving");
  if (!left) return false;
  const isIt = isSignedIn && (left === true || left === session);
  if (isIt) await endSession();
  else await remove("kept", "leaving");
  return isIt;
}

/**
 * Ends the session on the server; until it has, nothing else is sent or fetched.
 * @param {AbortSignal} [signal] gives up earlier
 */
export async function endSession(signal) {
  const { status, body } = await ask("/api/session", {
    method: "DELETE",
    headers: { "Content-Type": "application/json" },
    ...(signal && { signal }),
  });
  if (status !== 200 || body.signed_in !== false) throw new Error(`The server did not end the session (${status}).`);
  await remove("kept", "leaving");
  note({ signedIn: false, name: null });
}

/** @param {number|null} offset_s */
async function keepClock(offset_s) {
  if (offset_s === null) return;
  const known = await get("kept", "clock");
  if (!known || Math.abs(known.offset_s - offset_s) > 2)
    await put("kept", "clock", { offset_s, at: localIso(new Date()) });
}

/** What was handed over is shown no more; a rig that came back is. @param {string[]} rigs */
async function keepHandedOver(rigs) {
  const known = (await get("kept", "handed_over")) ?? [];
  if (known.join() === rigs.join()) return;
  await put("kept", "handed_over", rigs);
  tell();
}

/**
 * Another account starts from its own beginning, without the meters and places of the one before. What nobody owned
 * is its own from now on, so that it never goes to the next.
 * @param {string} account
 * @param {string|null} session what the server calls this session
 * @param {string|null} identity the account's id; one of the same name with another id was made anew
 * @returns {Promise<boolean>} whether it is at this phone now; not where another page has just left it
 */
async function enter(account, session, identity) {
  const found = { isIn: false };
  await together(["kept", "remembered", "records", "photos", "drafts"], "readwrite", (stores) => {
    const leaving = stores.kept.get("leaving");
    const before = stores.kept.get("account");
    const identities = stores.kept.get("identities");
    identities.onsuccess = () => {
      found.isIn = !leaving.result;
      if (!found.isIn) return;
      stores.kept.put(session, "session");
      const known = identities.result?.[account];
      const isAnother = known && identity && known !== identity;
      if (isAnother) setAside(stores, account, known);
      if (isAnother || before.result !== account) begin(stores, account, before.result);
      if (identity) stores.kept.put({ ...identities.result, [account]: identity }, "identities");
    };
  });
  return found.isIn;
}

/** @param {Record<StoreName, IDBObjectStore>} stores @param {string} account @param {string|null|undefined} before */
function begin({ kept, remembered, records, photos, drafts }, account, before) {
  if (before) remembered.delete("check");
  for (const key of ["logs", "own", "ahead", "lost", "gone", "photos_asked", "handed_over"]) kept.delete(key);
  kept.put(account, "account");
  for (const store of [records, photos])
    walk(store, (cursor) => (cursor.value.account ?? null) === null && cursor.update({ ...cursor.value, account }));
  // One that says nothing of its account is of an earlier release: whoever was here before has typed it.
  walk(drafts, (cursor) => takeUp(drafts, cursor, "account" in cursor.value ? account : (before ?? account)));
}
