// Sends what waits. One record that the server cannot take holds up no other.
import { fewer, parts } from "../lib/patience.js";
import { get, put } from "../outbox/db.js";
import { forget } from "../outbox/forgetting.js";
import { postpone, settle, waitingRows } from "../outbox/queue.js";
import { orBrokenOff, sendRecords, sentenceOf } from "./http.js";

/** @import { Row } from "../outbox/rows.js" */
/** @import { Answer, Body } from "./http.js" */
/** @import { Problem, Receipt } from "../../../schemas/shapes/api.d.ts" */
/**
 * @typedef {{account: string, arrived: number, suspects: number, silences: number, isForgotten: boolean}} Round of
 *   sending; it ends where the server is found to lack what it had confirmed
 */

const MOST = 100;
const MOST_SUSPECTS = 3;

/** How many go at once; fewer over a slow way, on which a large batch would never arrive in time. */
let batch = MOST;

/** The server wants another sign-in first. */
export class SignInNeeded extends Error {}

/** The server has no room for any of it; what it says is for whoever runs it. */
export class NoRoom extends Error {}

/** @param {Answer} answer @returns {Error} what to throw at it */
export function failureOf(answer) {
  const sentence = sentenceOf(answer);
  if (answer.status === 401) return new SignInNeeded(sentence);
  return answer.status === 507 ? new NoRoom(sentence) : new Error(sentence);
}

/**
 * Sends the account's records, in order, until none is left that can go now.
 * @param {string} account
 */
export async function send(account) {
  const round = { account, arrived: 0, suspects: 0, silences: 0, isForgotten: false };
  for (let before = -1; round.arrived > before && !round.isForgotten; ) {
    before = round.arrived;
    await sendOnce(round);
  }
  if (round.arrived) batch = Math.min(MOST, batch * 2);
}

/**
 * What failed before goes last and alone, so that nothing waits for it and each try is the only one for a while.
 * @param {Round} round
 */
async function sendOnce(round) {
  const rows = await waitingRows(round.account);
  const fresh = rows.filter(({ tries }) => !tries);
  while (fresh.length) await sendBatch(fresh.splice(0, batch), round);
  for (const row of rows) if (row.tries) await sendBatch([row], round);
}

/** @param {Row[]} rows @param {Round} round @returns {Promise<void>} */
async function sendBatch(rows, round) {
  if (round.isForgotten) return;
  const logs = (await get("kept", "logs")) ?? {};
  const records = rows.map(({ record }) => record);
  const answer = await sendRecords(records, round.account, logs).catch((error) => orBrokenOff(error, round.account));
  const { status, body, retry_s } = answer;
  if (!status) return cutSilent(rows, answer, round);
  round.silences = 0;
  if (status === 200) return settleBatch(rows, body, round);
  if (retry_s) await put("kept", "pause", Date.now() + retry_s * 1000);
  if (!isAboutRecords(status, body.problems ?? [])) throw failureOf(answer);
  if (rows.length > 1) return sendParts(rows, round);
  const row = /** @type {Row} */ (rows[0]);
  if (status >= 500) return suspect(row, answer, round);
  await settle(
    rows,
    [
      /** @type {Receipt} */ ({
        id: row.id,
        status: "refused",
        problems: body.problems ?? [{ at: "", problem: sentenceOf(answer) }],
      }),
    ],
    round.account,
  );
}

/**
 * Silence may mean a slow way, one record on which the server hangs or which a proxy cuts off, or no way at all.
 * @param {Row[]} rows
 * @param {Answer} answer
 * @param {Round} round
 */
async function cutSilent(rows, answer, round) {
  batch = fewer(rows.length);
  if (rows.length > 1) return sendParts(rows, round, batch);
  batch = MOST; // it is the record that is suspected, not the way
  await suspect(/** @type {Row} */ (rows[0]), answer, round);
  if (++round.silences >= MOST_SUSPECTS) throw failureOf(answer);
}

/**
 * @returns {boolean} whether a record may be to blame, not the way to the server or the letter around the records
 * @param {number} status @param {Problem[]} problems
 */
function isAboutRecords(status, problems) {
  if (status >= 500) return ![503, 507].includes(status);
  return (
    [400, 413, 422].includes(status) && !problems.some(({ at }) => /^\/(records|sent_at|account|logs\b.*)$/.test(at))
  );
}

/** @param {Row[]} rows @param {Body} body @param {Round} round */
async function settleBatch(rows, { receipts, forgot = [] }, round) {
  if (!Array.isArray(receipts)) throw new Error("The server did not say what became of the records.");
  round.isForgotten = forgot.length > 0;
  if (round.isForgotten) await forget(forgot, round.account, (await get("kept", "own")) ?? null);
  round.arrived += await settle(rows, receipts, round.account);
}

/** @param {Row[]} rows @param {Round} round @param {number} [size] */
async function sendParts(rows, round, size) {
  for (const part of parts(rows, size)) await sendBatch(part, round);
}

/**
 * A server that takes nothing at all is ill itself; then the rest is not tried now.
 * @param {Row} row
 * @param {Answer} answer
 * @param {Round} round
 */
async function suspect(row, answer, round) {
  await postpone(row.id, sentenceOf(answer), round.account);
  if (++round.suspects >= MOST_SUSPECTS && !round.arrived) throw failureOf(answer);
}
