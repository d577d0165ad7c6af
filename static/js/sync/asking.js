// Before a phone drops its copies: the server says of each whether it has it, by its hash.
import { after, together, walk } from "../outbox/db.js";
import { takeBackRecords } from "../outbox/forgetting.js";
import { takeBackPhotos } from "../outbox/photo-rows.js";
import { belongs } from "../outbox/rows.js";
import { askMissing } from "./http.js";

/** @import { Row } from "../outbox/rows.js" */

const MOST = 2000;

/** What is about to be dropped could not be asked for. */
export class NotAsked extends Error {}

/** @param {{saved: string}} row */
const isConfirmed = ({ saved }) => saved === "server";

/**
 * Asks the server whether it has all that it confirmed; what it has not waits on this phone again.
 * @returns {Promise<{records: number, photos: number}>} how much it has not
 * @throws {NotAsked} where the server cannot be asked
 */
export async function askBeforeLeaving() {
  const { account, rows, photos } = await confirmed();
  if (!account) return { records: 0, photos: 0 };
  /** @type {{records: string[], photos: string[]}} */
  const missing = { records: [], photos: [] };
  for (let at = 0; at < Math.max(rows.length, photos.length); at += MOST) {
    const hashes = Object.fromEntries(rows.slice(at, at + MOST).map(({ id, hash }) => [id, hash]));
    const told = await answered(hashes, photos.slice(at, at + MOST), account);
    missing.records.push(...told.records);
    missing.photos.push(...told.photos);
  }
  if (missing.records.length) await takeBackRecords(missing.records, account);
  await takeBackPhotos(missing.photos);
  return { records: missing.records.length, photos: missing.photos.length };
}

/** @param {Record<string, string>} hashes @param {string[]} photos @param {string} account */
async function answered(hashes, photos, account) {
  const { status, body } = await askMissing(hashes, photos, account).catch((error) => {
    throw new NotAsked(String(error?.message ?? error));
  });
  if (status !== 200 || !body.missing) throw new NotAsked(`The server answered ${status}.`);
  return body.missing;
}

/** What the server has confirmed, of the account at this phone. */
async function confirmed() {
  const found = { account: /** @type {string|null} */ (null), rows: /** @type {Row[]} */ ([]), photos: [""] };
  await together(["records", "photos", "kept"], "readonly", ({ records, photos, kept }) => {
    Object.assign(found, { photos: [] });
    after(kept.get("account"), (account = null) => {
      found.account = account;
      after(/** @type {IDBRequest<Row[]>} */ (records.getAll()), (rows) => {
        found.rows = rows.filter((row) => isConfirmed(row) && belongs(row, account));
      });
      walk(photos, ({ value }) => {
        if (isConfirmed(value) && belongs({ account: null, ...value }, account))
          found.photos.push(value.hash.slice(0, 64));
      });
    });
  });
  return found;
}
