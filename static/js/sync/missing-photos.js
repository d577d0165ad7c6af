// Photos are in no chain of hashes, so the server is asked for them by name: those that it lost and this phone has go
// again, those that nobody has any more, as far as this phone can tell, are listed.
import { chains } from "../outbox/chains.js";
import { after, get, together } from "../outbox/db.js";
import { takeBackPhotos } from "../outbox/photo-rows.js";
import { photosHere } from "../outbox/photos.js";
import { allRows } from "../outbox/queue.js";
import { tell } from "../outbox/rows.js";
import { askMissing } from "./http.js";

/** @import { LostPhoto } from "../outbox/stores.js" */

const MOST = 2000;
const DAY_MS = 24 * 3600 * 1000;

/**
 * Asks once a day, and each time while something is known to have been lost.
 * @param {string} account
 */
export async function lookForMissing(account) {
  const asked = (await get("kept", "photos_asked")) ?? 0;
  const isRecent = Date.now() - asked < DAY_MS && asked <= Date.now();
  const lost = await get("kept", "lost");
  if (isRecent && !lost) return;
  const noted = await notedPhotos(account);
  const missing = await missingOf(noted, account);
  const here = await photosHere();
  await takeBackPhotos([...missing].filter((hash) => here.has(hash)));
  // Without a loss, another phone has only not sent it yet.
  const gone = lost ? noted.filter(({ hash }) => missing.has(hash) && !here.has(hash)) : [];
  await note(gone, account);
}

/** Whoever has left meanwhile leaves nothing here. @param {LostPhoto[]} gone @param {string} account */
async function note(gone, account) {
  const found = { isNews: false };
  await together(["kept"], "readwrite", ({ kept }) => {
    after(kept.get("gone"), (before = []) => {
      found.isNews = JSON.stringify(before) !== JSON.stringify(gone);
    });
    after(kept.get("account"), (whose) => {
      if (whose !== account) return;
      kept.put(gone, "gone");
      kept.put(Date.now(), "photos_asked");
    });
  });
  if (found.isNews) tell();
}

/** @param {LostPhoto[]} noted @param {string} account @returns {Promise<Set<string>>} */
async function missingOf(noted, account) {
  const hashes = [...new Set(noted.map(({ hash }) => hash))];
  const missing = new Set();
  for (let at = 0; at < hashes.length; at += MOST) {
    const { status, body } = await askMissing({}, hashes.slice(at, at + MOST), account);
    if (status !== 200 || !body.missing) throw new Error(`The server answered ${status}.`);
    for (const hash of body.missing.photos) missing.add(hash);
  }
  return missing;
}

/** @param {string} account @returns {Promise<LostPhoto[]>} the photos that records of the server speak of */
async function notedPhotos(account) {
  const rows = (await allRows()).filter(
    ({ account: whose, saved, record }) => whose === account && saved === "server" && record.kind === "photo",
  );
  return chains(rows).flatMap((chain) => {
    const record = chain.at(-1)?.record;
    return record?.kind === "photo" && record.subject
      ? [{ hash: record.body.hash, subject: record.subject, what: record.body.what }]
      : [];
  });
}
