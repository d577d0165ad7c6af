// Sends what waits. One record that the server cannot take holds up no other.
import { put } from "../outbox/db.js";
import { postpone, settle, waitingRows } from "../outbox/queue.js";
import { sendRecords } from "./http.js";
import { parts } from "../lib/patience.js";

const MOST = 100;
const MOST_SUSPECTS = 3;

/** How many go at once; fewer over a slow way, on which a large batch would never arrive in time. */
let batch = MOST;

/** The server wants another sign-in first. */
export class SignInNeeded extends Error {}

/**
 * Sends the account's records, in order, until none is left that can go now.
 * @param {string} account
 */
export async function send(account) {
  const round = { account, arrived: 0, suspects: [] };
  try {
    for (let before = -1; round.arrived > before; ) {
      before = round.arrived;
      await sendOnce(round);
    }
    if (round.arrived) batch = Math.min(MOST, batch * 2);
  } finally {
    await postpone(round.suspects, account);
  }
}

async function sendOnce(round) {
  const isSuspect = (row) => round.suspects.some(({ id }) => id === row.id);
  const rows = (await waitingRows(round.account)).filter((row) => !isSuspect(row));
  while (rows.length) await sendBatch(rows.splice(0, batch), round);
}

async function sendBatch(rows, round) {
  const { status, body, retry_s } = await post(rows, round.account);
  if (status === 200) return settleBatch(rows, body.receipts, round);
  const sentence = body.problems?.map(({ problem }) => problem).join(" ") || `The server answered ${status}.`;
  if (status === 401) throw new SignInNeeded(sentence);
  if (retry_s) await put("kept", "pause", Date.now() + retry_s * 1000);
  if (!isAboutRecords(status, body.problems ?? [])) throw new Error(sentence);
  if (rows.length > 1) return sendParts(rows, round);
  if (status >= 500) return suspect(rows[0], sentence, round);
  await settle(rows, [{ id: rows[0].id, status: "refused", problems: body.problems ?? [{ at: "", problem: sentence }] }], round.account);
}

async function post(rows, account) {
  try {
    return await sendRecords(rows.map(({ record }) => record), account);
  } catch (error) {
    if (error?.name === "AbortError") batch = Math.ceil(rows.length / 4);
    throw error;
  }
}

/** @returns {boolean} whether a record may be to blame, not the way to the server or the letter around the records */
function isAboutRecords(status, problems) {
  if (status >= 500) return status !== 503;
  return [400, 413, 422].includes(status) && !problems.some(({ at }) => ["/records", "/sent_at", "/account"].includes(at));
}

async function settleBatch(rows, receipts, round) {
  if (!Array.isArray(receipts)) throw new Error("The server did not say what became of the records.");
  round.arrived += await settle(rows, receipts, round.account);
}

async function sendParts(rows, round) {
  for (const part of parts(rows)) await sendBatch(part, round);
}

/** A server that takes nothing at all is ill itself; then the rest is not tried now. */
function suspect(row, sentence, round) {
  round.suspects.push({ id: row.id, sentence });
  if (round.suspects.length >= MOST_SUSPECTS && !round.arrived) throw new Error(sentence);
}
