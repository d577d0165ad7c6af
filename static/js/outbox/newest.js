// The rows that a page needs first: how each rig is built, the newest of what was done with each of its things, the
// newest checks, and all that the server has not confirmed. However many there are, only these are read; they lie
// together in one value, which follows each write (following.js) and is gathered anew from all rows once a day.
import { together } from "./db.js";
import { KEY } from "./following.js";
import { allRows, belongs, inOrder } from "./rows.js";

/** @import { Row } from "./rows.js" */
/** @import { Newest } from "./stores.js" */

/** With fewer rows all of them are as soon read. */
const FEW = 300;
const DAY_MS = 86_400_000;
const MAKE_MS = 2000;

/**
 * Of a rig that was handed over only what the server has not confirmed is given.
 * @returns {Promise<Row[]>} of the account last signed in, and of nobody yet, in order
 */
export async function newestRows() {
  const { account, newest, left, count } = await together(["records", "kept"], "readonly", ({ records, kept }) => ({
    account: kept.get("account"),
    newest: /** @type {IDBRequest<Newest|undefined>} */ (kept.get(KEY)),
    left: /** @type {IDBRequest<string[]|undefined>} */ (kept.get("handed_over")),
    count: records.count(),
  }));
  const [whose, found] = [account.result ?? null, newest.result];
  // A page of an earlier release lets nothing follow: then the store has another count.
  const isTrue = found && found.account === whose && found.count === count.result;
  if (count.result > FEW && !(isTrue && Math.abs(Date.now() - found.made) < DAY_MS)) makeLater();
  const rows = isTrue ? inOrder(found.rows.filter((row) => belongs(row, whose))) : await allRows();
  const gone = left.result ?? [];
  return rows.filter(({ saved, record: { rig } }) => saved !== "server" || !gone.includes(rig ?? ""));
}

let isMaking = false;

function makeLater() {
  if (isMaking) return;
  isMaking = true;
  const gather = () => import("./gathering.js").then(({ make }) => make()).catch(console.warn);
  setTimeout(gather, MAKE_MS);
}
