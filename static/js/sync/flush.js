// Sends what waits and fetches what other devices stored. Sending twice is harmless: the server knows an id it has seen.
import { get, put, remove } from "../outbox/db.js";
import { settle, takeOver, waitingRows } from "../outbox/queue.js";
import { ask, sendRecords } from "./http.js";

const BATCH = 100;
const EVERY_MS = 30000;
const LONGEST_MS = 600000;

/** Sends "changed" when someone signs in or out, or the server is met or missed. */
export const standing = Object.assign(new EventTarget(), { signedIn: false, name: null, reached: false, problem: null });

let wait = EVERY_MS;
let timer = 0;
/** @type {Promise<void>|null} */
let running = null;

/** Starts sending: now, when the page is looked at again, when a network comes up, and by a timer. */
export function startSync() {
  addEventListener("online", sync);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sync());
  sync();
}

/** Sends and fetches once; a page that is already at it is waited for. @returns {Promise<void>} */
export function sync() {
  running ??= once().finally(() => {
    running = null;
  });
  return running;
}

async function once() {
  clearTimeout(timer);
  try {
    await alone(exchange);
    wait = EVERY_MS;
    note({ reached: true, problem: null });
  } catch (error) {
    wait = Math.min(wait * 2, LONGEST_MS) * (0.75 + Math.random() / 2);
    note({ reached: false, problem: error.message });
  } finally {
    timer = setTimeout(sync, wait);
  }
}

/** Only one tab at a time, where the browser can tell. */
function alone(work) {
  return navigator.locks ? navigator.locks.request("fieldlog-sync", work) : work();
}

async function exchange() {
  const { body } = await ask("/api/session");
  note({ signedIn: Boolean(body.signed_in), name: body.signed_in ? body.name : null });
  if (!body.signed_in) return;
  await enter(body.name);
  await send(body.name);
  await fetchNew(body.name);
}

/** Another account starts from its own beginning, without the meters and places of the one before. */
async function enter(account) {
  const before = await get("kept", "account");
  if (before === account) return;
  if (before) await remove("remembered", "check");
  await put("kept", "cursor", 0);
  await put("kept", "account", account);
}

async function send(account) {
  const rows = await waitingRows(account);
  for (let i = 0; i < rows.length; i += BATCH) await sendBatch(rows.slice(i, i + BATCH), account);
}

/** A batch that is refused as a whole is sent one by one, so that one bad record holds up no other. */
async function sendBatch(rows, account) {
  const { status, body } = await sendRecords(rows.map((row) => row.record));
  if (status === 200) return settle(rows, body.receipts, account);
  const sentence = body.problems?.map(({ problem }) => problem).join(" ") || `The server answered ${status}.`;
  if (![400, 413, 422].includes(status)) throw new Error(sentence);
  if (rows.length > 1) return sendEach(rows, account);
  return settle(rows, [{ id: rows[0].id, status: "refused", problems: body.problems ?? [{ at: "", problem: sentence }] }], account);
}

async function sendEach(rows, account) {
  for (const row of rows) await sendBatch([row], account);
}

async function fetchNew(account) {
  for (let more = true; more; ) {
    const after = (await get("kept", "cursor")) ?? 0;
    const { status, body } = await ask(`/api/records?after=${after}`);
    if (status !== 200) throw new Error(`The server answered ${status}.`);
    await takeOver(body.records, account);
    await put("kept", "cursor", body.next);
    more = body.more && body.next > after;
  }
}

function note(changed) {
  Object.assign(standing, changed);
  standing.dispatchEvent(new Event("changed"));
}
