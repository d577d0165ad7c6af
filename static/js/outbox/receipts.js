// What the server says about records, written down.
import { nextTry } from "../lib/patience.js";
import { localIso } from "../lib/times.js";
import { after, together } from "./db.js";
import { hear, merged, pass } from "./logs.js";
import { waitedFor } from "./references.js";
import { hashOf, tell } from "./rows.js";

/** @import { Logs, Walk } from "./stores.js" */
/** @import { Entry, News, Receipt } from "../../../schemas/shapes/api.d.ts" */

/** @typedef {import("./rows.js").Row} Row */

const OTHER_TEXT = [
  {
    at: "/id",
    problem: "The server holds another text under this number. Mend this one, and it gets a number of its own.",
  },
];

/**
 * Writes down what the server answered about rows. A row that changed since it was sent stays as it is.
 * @param {Row[]} rows as sent
 * @param {Receipt[]} receipts
 * @param {string} account
 * @returns {Promise<number>} how many of them the server has now
 */
export async function settle(rows, receipts, account) {
  const sent = new Map(rows.map((row) => [row.id, row]));
  const answered = receipts.filter(
    /** @returns {receipt is Receipt & {id: string}} */ (receipt) => sent.has(receipt.id ?? "") && isWhole(receipt),
  );
  const arrived = answered.filter(({ id, hash }) => hash === sent.get(id)?.hash).map(({ id }) => id);
  /** @param {Map<string, Row>} held */
  const change = (held) => {
    const same = answered.filter(({ id }) => held.get(id)?.hash === sent.get(id)?.hash);
    return same.map((receipt) => settled(/** @type {Row} */ (held.get(receipt.id)), receipt, account));
  };
  await write(account, arrived, change, (kept, held) => {
    noteReceipts(kept, answered);
    noteSentAgain(kept, answered.filter(({ id, status }) => status === "stored" && held.get(id)?.again).length);
  });
  return arrived.length;
}

/**
 * @param {Receipt} receipt
 * @returns {boolean} whether it is an answer at all: a record counts as arrived by its hash alone
 */
const isWhole = ({ status, hash }) =>
  status === "refused" || (["stored", "known"].includes(status) && typeof hash === "string");

/** @param {Row} row @param {Receipt} receipt @param {string} account @returns {Row} */
function settled({ tries: _, not_before: __, again: ___, ...row }, receipt, account) {
  if (receipt.status === "refused") return { ...row, account, saved: "refused", problems: receipt.problems ?? [] };
  if (receipt.hash !== row.hash) return { ...row, account, saved: "refused", problems: OTHER_TEXT };
  const { log, position } = receipt;
  const place = log && position ? { log, position } : {};
  return { ...row, account, saved: "server", seq: receipt.seq, problems: [], ...place };
}

/** @param {IDBObjectStore} kept @param {Receipt[]} receipts */
function noteReceipts(kept, receipts) {
  after(kept.get("logs"), (/** @type {Logs} */ logs = {}) => {
    hear(logs, receipts);
    kept.put(logs, "logs");
  });
}

/** Counts what a server lacked that had confirmed it before. @param {IDBObjectStore} kept @param {number} count */
function noteSentAgain(kept, count) {
  if (!count) return;
  after(kept.get("lost"), (lost) =>
    kept.put({ at: lost?.at ?? localIso(new Date()), records: (lost?.records ?? 0) + count }, "lost"),
  );
}

/**
 * Takes over what the server holds; an entry whose text does not match its hash is left out.
 * @param {News} news
 * @param {string} account
 * @param {Walk} walk goes on to the next page
 * @returns {Promise<boolean>} whether the account is still the one at this phone; if not, nothing is taken over
 */
export function takeOver({ records, account: whose, own }, account, walk) {
  if (whose !== account) throw new Error("These records are not of this account.");
  const whole = records.filter(isUnspoiled);
  if (whole.length < records.length) passOver(walk);
  pass(walk.logs, records);
  const arrived = whole.map(({ record }) => record.id);
  return write(
    account,
    arrived,
    (held, isMine) => (isMine ? whole.map((entry) => taken(entry, held.get(entry.record.id), account)) : []),
    (kept) => noteWalk(kept, walk, own),
  );
}

/** @param {Entry} entry */
function isUnspoiled(entry) {
  try {
    return hashOf(entry.record) === entry.hash;
  } catch {
    return false; // no text that could have a hash
  }
}

/** @param {Walk} walk */
function passOver(walk) {
  console.error("Records came damaged; they are asked for again.");
  walk.not_before ??= walk.tries++ ? nextTry(walk.tries, Date.now()) : 0;
}

/**
 * Lets a record on which the server fails wait for itself, with what it said.
 * @param {string} id
 * @param {string} sentence
 * @param {string} account
 */
export function postpone(id, sentence, account) {
  return write(account, [], (held) =>
    held.get(id)?.saved === "phone" ? [later(/** @type {Row} */ (held.get(id)), sentence)] : [],
  );
}

/** @param {Row} row @param {string} sentence @returns {Row} */
function later(row, sentence) {
  const tries = (row.tries ?? 0) + 1;
  const problem = `The server failed on this record; it is tried again by itself. ${sentence}`;
  return { ...row, tries, not_before: nextTry(tries, Date.now()), problems: [{ at: "", problem }] };
}

/**
 * What was typed here under the same number, and is on this phone only, is never written over.
 * @param {Entry} entry
 * @param {Row|undefined} here
 * @param {string} account
 * @returns {Row}
 */
function taken({ record, hash, seq, flags, clock_offset_s, log, position }, here, account) {
  if (here && here.saved !== "server" && here.hash !== hash) return { ...here, saved: "refused", problems: OTHER_TEXT };
  const before = here?.before ? { before: here.before } : {};
  return {
    id: record.id,
    record,
    hash,
    saved: "server",
    account,
    problems: [],
    seq,
    ...(log && position && { log, position }),
    flags: flags ?? [],
    clock_offset_s: clock_offset_s ?? null,
    ...before,
  };
}

/**
 * Writes rows; what was refused for want of a record that the server has now is queued again.
 * A row of an account that has left this phone goes from it once the server has it.
 * @returns {Promise<boolean>} whether the account is still the one at this phone
 * @param {string} account
 * @param {string[]} arrived
 * @param {(held: Map<string, Row>, isMine: boolean) => Row[]} change
 * @param {(kept: IDBObjectStore, held: Map<string, Row>) => void} [also] done in the same transaction, where the
 *   account is still the one at this phone
 */
async function write(account, arrived, change, also) {
  const ids = new Set(arrived);
  const found = { isMine: false };
  await together(["records", "kept"], "readwrite", ({ records, kept }) => {
    const whose = kept.get("account");
    whose.onsuccess = () => {
      found.isMine = whose.result === account;
    };
    /** @type {IDBRequest<Row[]>} */
    const all = records.getAll();
    all.onsuccess = () => {
      const held = new Map(all.result.map((row) => [row.id, row]));
      if (found.isMine) also?.(kept, new Map(held));
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

/** @param {IDBObjectStore} kept @param {Walk} walk @param {string} own */
function noteWalk(kept, walk, own) {
  kept.put(own, "own");
  if (walk.not_before !== undefined) return void kept.put(walk, "ahead");
  kept.delete("ahead");
  after(kept.get("logs"), (/** @type {Logs} */ logs = {}) => kept.put(merged(logs, walk.logs), "logs"));
}
