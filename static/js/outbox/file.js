// What a phone holds, as a file, and back.
import { together } from "./db.js";
import { photoFrom } from "./filed-photos.js";
import { recordWrongAt } from "./filed-records.js";
import { findPhoto, forgetArrival } from "./photos.js";
import { newRow, tell } from "./rows.js";
import { VERSION, WHAT } from "./written-file.js";

export { exportFile } from "./written-file.js";

/** @import { StoredPhoto } from "./photos.js" */
/** @import { Row } from "./rows.js" */
/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */

/**
 * Takes the records of such a file in; they go to the server as if they had been made here. Twice is harmless.
 * @param {string} text
 * @returns {Promise<{kept: number, known: number, photos: number, problems: string[]}>} kept, known: records; photos:
 *   those that were added
 */
export async function importFile(text) {
  /** @type {string[]} */
  const problems = [];
  const file = read(text, problems);
  const rows = file.records.flatMap((record, i) => rowFrom(record, recordWrongAt(record), i, problems));
  const photos = file.photos.flatMap((photo, i) => photoFrom(photo, i, file.records, problems));
  const done = rows.length + photos.length ? await takeIn(rows, photos, problems) : { kept: 0, known: 0, photos: 0 };
  if (done.kept + done.photos) tell();
  return { ...done, problems };
}

const NOTHING = { records: [], photos: [] };

/** @param {string} text @param {string[]} problems @returns {{records: unknown[], photos: unknown[]}} */
function read(text, problems) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    file = null;
  }
  const isOurs = file?.what === WHAT && Array.isArray(file.records) && Array.isArray(file.photos ?? []);
  if (!isOurs)
    problems.push("This is not a file that a phone of this log wrote, or it was not copied whole. Choose another one.");
  else if (file.version !== VERSION)
    problems.push(
      `This file is of version ${file.version}; this page reads version ${
        VERSION
      }. Load the page again with a signal, then try once more.`,
    );
  return isOurs && file.version === VERSION ? { records: file.records, photos: file.photos ?? [] } : NOTHING;
}

/**
 * @param {unknown} record
 * @param {string|null} wrong where
 * @param {number} i its place in the file
 * @param {string[]} problems
 * @returns {Row[]} one, or none
 */
function rowFrom(record, wrong, i, problems) {
  try {
    if (wrong === null) return [newRow(/** @type {LogRecord} */ (record), null)];
  } catch (error) {
    console.warn(error); // a text that cannot be named by its hash
  }
  problems.push(
    `Entry ${i + 1} of the file is no record; it was left out.${wrong ? ` Look at ${wrong.slice(0, 80)} in it.` : ""}`,
  );
  return [];
}

/** @param {Row[]} rows @param {StoredPhoto[]} photos @param {string[]} problems */
async function takeIn(rows, photos, problems) {
  const found = { kept: 0, known: 0, clashes: /** @type {string[]} */ ([]), photos: 0 };
  await together(["records", "photos", "kept"], "readwrite", (stores) => {
    const account = stores.kept.get("account");
    const here = stores.records.getAll();
    here.onsuccess = () => {
      Object.assign(found, { photos: 0 }, takeRows(stores.records, here.result, rows, account.result ?? null));
      for (const photo of photos) takePhoto(stores.photos, { ...photo, account: account.result ?? null }, found);
    };
  });
  for (const id of found.clashes)
    problems.push(`Another text of record ${id} is on this phone already and stays; the one of the file was left out.`);
  return { kept: found.kept, known: found.known, photos: found.photos };
}

/** @param {IDBObjectStore} records @param {Row[]} here @param {Row[]} rows @param {string|null} account */
function takeRows(records, here, rows, account) {
  const held = new Map(here.map(({ id, hash }) => [id, hash]));
  const fresh = rows.filter(({ id, hash }) => !held.has(id) && held.set(id, hash));
  for (const row of fresh) records.put({ ...row, account });
  const clashes = rows.filter(({ id, hash }) => held.get(id) !== hash).map(({ id }) => id);
  return { kept: fresh.length, known: rows.length - fresh.length - clashes.length, clashes };
}

/**
 * One that the account has already stays, unless it is damaged.
 * @param {IDBObjectStore} photos
 * @param {StoredPhoto & {account: string|null}} photo
 * @param {{photos: number}} found
 */
function takePhoto(photos, photo, found) {
  findPhoto(photos, photo.hash, photo.account, (key, own) => {
    if (own && own.saved !== "damaged") return;
    found.photos += 1;
    forgetArrival(key);
    photos.put({ ...photo, hash: key });
  });
}
