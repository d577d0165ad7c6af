import { retryAfter } from "../lib/patience.js";
import { localIso } from "../lib/times.js";

/** @import { Page, PhotoReceipt, Problems, Receipts, Session } from "../../../schemas/shapes/api.d.ts" */
/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/**
 * @typedef {Partial<Session & Page & Receipts & PhotoReceipt & Problems>} Body what may have come; each member is
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
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), LIMIT_MS);
  try {
    const response = await fetch(address, { credentials: "same-origin", signal: stop.signal, ...options });
    const retry_s = [429, 503].includes(response.status) ? retryAfter(response.headers.get("retry-after")) : null;
    const isJson = response.headers.get("content-type")?.includes("json");
    if (!isJson && retry_s === null) throw new Error(`${address} did not answer with JSON.`);
    return { status: response.status, body: isJson ? await response.json() : {}, retry_s };
  } finally {
    clearTimeout(timer);
  }
}

/**
 * Sends records as those of an account; the server refuses all of them where another one has signed in meanwhile.
 * @param {LogRecord[]} records
 * @param {string} account
 */
export function sendRecords(records, account) {
  return ask("/api/records", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ records, account, sent_at: localIso(new Date()) }),
  });
}

/**
 * Asks for the records of an account; the server gives none where another one has signed in meanwhile.
 * @param {number} after the number of the last one that is here
 * @param {number} limit how many at most
 * @param {string} account
 */
export function fetchRecords(after, limit, account) {
  return ask(`/api/records?${new URLSearchParams({ after: `${after}`, limit: `${limit}`, account })}`);
}

/**
 * Where the time ran out that is an answer as well, of status 0.
 * @param {unknown} error
 * @returns {Answer}
 */
export function orSilence(error) {
  if (/** @type {DOMException} */ (error)?.name !== "AbortError") throw error;
  return { status: 0, body: { problems: [{ at: "", problem: "It gave no answer." }] }, retry_s: null };
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
