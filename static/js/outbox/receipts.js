// What the server says about records, written down.
import { nextTry } from "../lib/patience.js";
import { together } from "./db.js";
import { waitedFor } from "./references.js";
import { hashOf, tell } from "./rows.js";

/** @typedef {import("./rows.js").Row} Row */

const OTHER_TEXT = [{ at: "/id", problem: "The server holds another text under this number. Mend this one, and it gets a number of its own." }];

/**
 * Writes down what the server answered about rows. A row that changed since it was sent stays as it is.
 * @param {Row[]} rows as sent
 * @param {Record<string, any>[]} receipts
 * @param {string} account
 * @returns {Promise<number>} how many of them the server has now
 */
export async function settle(rows, receipts, account) {
  const sent = new Map(rows.map((row) => [row.id, row]));
  const answered = receipts.filter((receipt) => sent.has(receipt.id) && isWhole(receipt));
  const arrived = answered.filter(({ id, hash }) => hash === sent.get(id).hash).map(({ id }) => id);
  await write(account, arrived, (held) => {
    const same = answered.filter(({ id }) => held.get(id)?.hash === sent.get(id).hash);
    return same.map((receipt) => settled(held.get(receipt.id), receipt, account));
  });
  return arrived.length;
}

/** @returns {boolean} whether it is an answer at all: a record counts as arrived by its hash alone */
const isWhole = ({ status, hash }) => status === "refused" || (["stored", "known"].includes(status) && typeof hash === "string");

/** @param {Row} row @returns {Row} */
function settled({ tries: _, not_before: __, ...row }, receipt, account) {
  if (receipt.status === "refused") return { ...row, account, saved: "refused", problems: receipt.problems ?? [] };
  if (receipt.hash !== row.hash) return { ...row, account, saved: "refused", problems: OTHER_TEXT };
  return { ...row, account, saved: "server", seq: receipt.seq, problems: [] };
}

/**
 * Takes over what the server holds; an entry whose text does not match its hash is left out.
 * @param {Record<string, any>[]} entries
 * @param {string} account
 * @param {number} [next] the number after which the next ones come
 * @returns {Promise<boolean>} whether the account is still the one at this phone; if not, nothing is taken over
 */
export function takeOver(entries, account, next) {
  const whole = entries.filter(({ record, hash }) => hashOf(record) === hash);
  if (whole.length < entries.length) console.error("The server sent records that do not match their hashes; they are left out.");
  const arrived = whole.map(({ record }) => record.id);
  return write(account, arrived, (held, isMine) => (isMine ? whole.map((entry) => taken(entry, held.get(entry.record.id), account)) : []), next);
}

/**
 * Lets records on which the server fails wait, each for itself, with what it said.
 * @param {{id: string, sentence: string}[]} failed
 * @param {string} account
 */
export async function postpone(failed, account) {
  if (!failed.length) return;
  await write(account, [], (held) => failed.flatMap(({ id, sentence }) => (held.get(id)?.saved === "phone" ? later(held.get(id), sentence) : [])));
}

/** @param {Row} row @param {string} sentence @returns {Row} */
function later(row, sentence) {
  const tries = (row.tries ?? 0) + 1;
  const problem = `The server failed on this record; it is tried again by itself. ${sentence}`;
  return { ...row, tries, not_before: nextTry(tries, Date.now()), problems: [{ at: "", problem }] };
}

/** What was typed here under the same number, and is on this phone only, is never written over. @returns {Row} */
function taken({ record, hash, seq, flags, clock_offset_s }, here, account) {
  if (here && here.saved !== "server" && here.hash !== hash) return { ...here, saved: "refused", problems: OTHER_TEXT };
  const before = here?.before ? { before: here.before } : {};
  return { id: record.id, record, hash, saved: "server", account, problems: [], seq, flags: flags ?? [], clock_offset_s: clock_offset_s ?? null, ...before };
}

/**
 * Writes rows; what was refused for want of a record that the server has now is queued again.
 * A row of an account that has left this phone goes from it once the server has it.
 * @returns {Promise<boolean>} whether the account is still the one at this phone
 */
async function write(account, arrived, change, next) {
  const ids = new Set(arrived);
  const found = { isMine: false };
  await together(["records", "kept"], "readwrite", ({ records, kept }) => {
    kept.get("account").onsuccess = ({ target }) => {
      found.isMine = target.result === account;
      if (found.isMine && next !== undefined) kept.put(next, "cursor");
    };
    records.getAll().onsuccess = ({ target }) => {
      const held = new Map(target.result.map((row) => [row.id, row]));
      for (const row of change(held, found.isMine)) {
        held.set(row.id, row);
        if (row.saved === "server" && !found.isMine) records.delete(row.id);
        else records.put(row);
      }
      for (const row of held.values()) if (waitedFor(row, ids)) records.put({ ...row, saved: "phone", problems: [] });
    };
  });
  tell();
  return found.isMine;
}
