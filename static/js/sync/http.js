import { retryAfter } from "../lib/patience.js";
import { localIso } from "../lib/times.js";

/** @import { Missing, News, PhotoPart, PhotoReceipt } from "../../../schemas/shapes/api.d.ts" */
/** @import { Problems, Receipts, Session } from "../../../schemas/shapes/api.d.ts" */
/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Logs } from "../outbox/stores.js" */
/**
 * @typedef {{hash: string, status: (PhotoReceipt|PhotoPart)["status"], here: number}} PhotoAnswer
 * @typedef {Partial<Session & News & Receipts & Missing & PhotoAnswer & Problems>} Body what may have come; each
 *   member is
 *   looked for
 */
/**
 * @typedef {{status: number, body: Body, retry_s: number|null}} Answer retry_s: how long the server asks to be left
 *   alone
 */

const LIMIT_MS = 10000;

/**
 * Asks the server for JSON; a page of some captive portal, an error or ten seconds of silence count as no answer.
 * @param {string} address
 * @param {RequestInit} [options]
 * @returns {Promise<Answer>}
 */
export async function ask(address, options = {}) {
  const { status, text, retry_s } = await askText(address, options);
  return { status, body: text === null ? {} : JSON.parse(text), retry_s };
}

/**
 * Asks likewise for JSON, as the text that it is.
 * @param {string} address
 * @param {RequestInit} [options]
 * @returns {Promise<{status: number, text: string|null, retry_s: number|null}>} no text where it was told to wait
 */
export async function askText(address, options = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), LIMIT_MS);
  try {
    const response = await fetch(address, { credentials: "same-origin", signal: stop.signal, ...options });
    const retry_s = [429, 503].includes(response.status) ? retryAfter(response.headers.get("retry-after")) : null;
    const isJson = response.headers.get("content-type")?.includes("json");
    if (!isJson && retry_s === null) throw new Error(`${address} did not answer with JSON.`);
    return { status: response.status, text: isJson ? await response.text() : null, retry_s };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * Sends records as those of an account; the server refuses all of them where another one has signed in meanwhile.
 * @param {LogRecord[]} records
 * @param {string} account
 * @param {Logs} logs what was seen of each log, so that a server that has forgotten some of it is found out
 */
export const sendRecords = (records, account, logs) =>
  post("/api/records", { records, account, logs, sent_at: localIso(new Date()) });

/**
 * Asks for what is new in the logs of an account; the server gives none where another one has signed in meanwhile.
 * @param {Logs} logs what was seen of each
 * @param {number} limit how many records at most
 * @param {string} account
 */
export const fetchLog = (logs, limit, account) => post("/api/log", { logs, limit, account });

/**
 * Asks which of these the server does not have.
 * @param {Record<string, string>} records their hashes by their ids
 * @param {string[]} photos their hashes
 * @param {string} account
 */
export const askMissing = (records, photos, account) => post("/api/known", { records, photos, account });

/** @param {string} address @param {unknown} body */
const post = (address, body) =>
  ask(address, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });

/**
 * Where the time ran out that is an answer as well, of status 0.
 * @param {unknown} error
 * @returns {Answer}
 */
export function orSilence(error) {
  if (/** @type {DOMException} */ (error)?.name !== "AbortError") throw error;
  const body = { problems: [{ at: "", problem: "It gave no answer." }] };
  return /** @type {Answer} */ ({ status: 0, body });
}

/**
 * A way that broke off, or an answer that is no JSON, counts as silence where the server answers otherwise: then what
 * was sent may be to blame.
 * @param {unknown} error
 * @param {string} account
 * @returns {Promise<Answer>}
 */
export async function orBrokenOff(error, account) {
  if (/** @type {DOMException} */ (error)?.name === "AbortError") return orSilence(error);
  const { status, body } = await ask("/api/session").catch(() => {
    throw error;
  });
  if (status !== 200 || body.name !== account) throw error;
  return { status: 0, body: { problems: [{ at: "", problem: "What came back was no answer." }] }, retry_s: null };
}

/** @param {Answer} answer @returns {string} what it says went wrong */
export function sentenceOf({ status, body }) {
  return body.problems?.map(({ problem }) => problem).join(" ") || `The server answered ${status}.`;
}

/** Says whether a page would open; leaving for one that does not would look like a loss. @param {string} href */
export async function canBeReached(href) {
  try {
    return (await fetch(href, { method: "HEAD", signal: AbortSignal.timeout(3000) })).ok;
  } catch {
    return false;
  }
}
