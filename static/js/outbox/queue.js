// Every record made on this phone or fetched from the server, and where it is saved.
import { after, together } from "./db.js";
import { allRows, belongs, everything, newRow, tell } from "./rows.js";
import { askToStay } from "./stay.js";

export { allRows, changes, hashOf } from "./rows.js";
export { discard, mend, resend, restore } from "./mending.js";
export { postpone, settle, takeOver } from "./receipts.js";

/** @typedef {import("./rows.js").Row} Row */

/**
 * Keeps a record on this phone; done means that it is on the medium.
 * @param {Record<string, any>} record
 * @returns {Promise<Row>}
 */
export async function keep(record) {
  const row = newRow(record, null);
  await together(["records", "kept"], "readwrite", ({ records, kept }) => {
    after(kept.get("account"), (account) => {
      row.account = account ?? null;
      records.put(row);
    });
  });
  tell();
  askToStay();
  return row;
}

/** @param {string} id @returns {Promise<Row|undefined>} a row that the person now at the phone may see */
export async function rowOf(id) {
  const { account, row } = await together(["records", "kept"], "readonly", ({ records, kept }) => ({ account: kept.get("account"), row: records.get(id) }));
  return row.result && belongs(row.result, account.result ?? null) ? row.result : undefined;
}

/** @returns {Promise<Row[]>} rows that are on this phone only, the refused ones too */
export async function unsentRows() {
  return (await allRows()).filter(({ saved }) => saved !== "server");
}

/** @returns {Promise<Row[]>} rows that need a person: the server refused them, or fails on them each time */
export async function refusedRows() {
  return (await unsentRows()).filter(({ saved, tries }) => saved === "refused" || tries);
}

const LONGEST_WAIT_MS = 4500000;

/**
 * Lists what can be sent now. A time to wait for that lies too far ahead comes from a clock that was set back.
 * @param {string} account
 * @param {number} [now] in milliseconds
 * @returns {Promise<Row[]>}
 */
export async function waitingRows(account, now = Date.now()) {
  const isDue = ({ not_before: time = 0 }) => time <= now || time > now + LONGEST_WAIT_MS;
  return (await allRows()).filter((row) => row.saved === "phone" && belongs(row, account) && isDue(row));
}

/** @returns {Promise<{account: string, count: number}[]>} how much waits here for other accounts */
export async function lockedCounts() {
  const { account, rows } = await everything();
  const counts = new Map();
  for (const row of rows) if (row.saved !== "server" && !belongs(row, account)) counts.set(row.account, (counts.get(row.account) ?? 0) + 1);
  return [...counts].map(([name, count]) => ({ account: name, count }));
}

/** @returns {Promise<number|null>} when the oldest record that is on this phone only was made, in milliseconds */
export async function oldestUnsent() {
  const times = (await unsentRows()).map(({ id }) => madeAt(id));
  return times.length ? Math.min(...times) : null;
}

/** @param {string} id a UUID of version 7, which begins with the time @returns {number} */
const madeAt = (id) => parseInt(id.replaceAll("-", "").slice(0, 12), 16);
