// What a phone holds, as a file, and back.
import { localIso } from "../lib/times.js";
import { get, together, transact } from "./db.js";
import { photoFrom, photoOut } from "./filed-photos.js";
import { recordWrongAt } from "./filed-records.js";
import { allRows, belongs, newRow, tell } from "./rows.js";

const WHAT = "fieldlog phone export";
const VERSION = 1;

/**
 * Writes what is on this phone into a file; things that are spoken of stand before what speaks of them.
 * @param {{all: boolean}} which all, or what the server does not have
 * @returns {Promise<{name: string, text: string, count: number}>}
 */
export async function exportFile({ all }) {
  const account = (await get("kept", "account")) ?? null;
  const isIn = ({ saved }) => all || saved !== "server";
  const rows = (await allRows()).filter(isIn);
  const kept = (await transact("photos", "readonly", (store) => store.getAll())).filter((photo) => belongs({ account: null, ...photo }, account) && isIn(photo));
  const made_at = localIso(new Date());
  const text = JSON.stringify({ what: WHAT, version: VERSION, made_at, account, records: rows.map(({ record }) => record), photos: kept.map(photoOut) });
  return { name: `fieldlog-${all ? "all" : "unsent"}-${made_at.slice(0, 16).replace(/[-:]/g, "").replace("T", "-")}.json`, text, count: rows.length };
}

/**
 * Takes the records of such a file in; they go to the server as if they had been made here. Twice is harmless.
 * @param {string} text
 * @returns {Promise<{kept: number, known: number, problems: string[]}>}
 */
export async function importFile(text) {
  const problems = [];
  const file = read(text, problems);
  const rows = file.records.flatMap((record, i) => rowFrom(record, recordWrongAt(record), i, problems));
  const photos = file.photos.flatMap((photo, i) => photoFrom(photo, i, file.records, problems));
  const done = rows.length + photos.length ? await takeIn(rows, photos, problems) : { kept: 0, known: 0 };
  if (done.kept) tell();
  return { ...done, problems };
}

const NOTHING = { records: [], photos: [] };

function read(text, problems) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    file = null;
  }
  const isOurs = file?.what === WHAT && Array.isArray(file.records) && Array.isArray(file.photos ?? []);
  if (!isOurs) problems.push("This is not a file that a phone of this log wrote, or it was not copied whole. Choose another one.");
  else if (file.version !== VERSION) problems.push(`This file is of version ${file.version}; this page reads version ${VERSION}. Load the page again with a signal, then try once more.`);
  return isOurs && file.version === VERSION ? { records: file.records, photos: file.photos ?? [] } : NOTHING;
}

function rowFrom(record, wrong, i, problems) {
  try {
    if (wrong === null) return [newRow(record, null)];
  } catch (error) {
    console.warn(error); // a text that cannot be named by its hash
  }
  problems.push(`Entry ${i + 1} of the file is no record; it was left out.${wrong ? ` Look at ${wrong.slice(0, 80)} in it.` : ""}`);
  return [];
}

async function takeIn(rows, photos, problems) {
  const found = { kept: 0, known: 0, clashes: [] };
  await together(["records", "photos", "kept"], "readwrite", (stores) => {
    const account = stores.kept.get("account");
    stores.records.getAll().onsuccess = ({ target }) => {
      Object.assign(found, { kept: 0, known: 0, clashes: [] }, takeRows(stores.records, target.result, rows, account.result ?? null));
      for (const photo of photos) takePhoto(stores.photos, { ...photo, account: account.result ?? null });
    };
  });
  for (const id of found.clashes) problems.push(`Another text of record ${id} is on this phone already and stays; the one of the file was left out.`);
  return { kept: found.kept, known: found.known };
}

function takeRows(records, here, rows, account) {
  const held = new Map(here.map(({ id, hash }) => [id, hash]));
  const fresh = rows.filter(({ id, hash }) => !held.has(id) && held.set(id, hash));
  for (const row of fresh) records.put({ ...row, account });
  const clashes = rows.filter(({ id, hash }) => held.get(id) !== hash).map(({ id }) => id);
  return { kept: fresh.length, known: rows.length - fresh.length - clashes.length, clashes };
}

function takePhoto(photos, photo) {
  photos.getKey(photo.hash).onsuccess = ({ target }) => {
    if (target.result === undefined) photos.put(photo);
  };
}
