const LIMIT_MS = 10000;

/**
 * Asks the server for JSON; a page of some captive portal, an error or ten seconds of silence count as no answer.
 * @param {string} address
 * @param {RequestInit} [options]
 * @returns {Promise<{status: number, body: any}>}
 */
export async function ask(address, options = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), LIMIT_MS);
  try {
    const response = await fetch(address, { credentials: "same-origin", signal: stop.signal, ...options });
    if (!response.headers.get("content-type")?.includes("json")) throw new Error(`${address} did not answer with JSON.`);
    return { status: response.status, body: await response.json() };
  } finally {
    clearTimeout(timer);
  }
}

/** @param {Record<string, any>[]} records @returns {Promise<{status: number, body: any}>} */
export function sendRecords(records) {
  return ask("/api/records", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ records }),
  });
}

/** Says whether a page would open; leaving for one that does not would look like a loss. @param {string} href */
export async function canBeReached(href) {
  try {
    return (await fetch(href, { method: "HEAD", signal: AbortSignal.timeout(3000) })).ok;
  } catch {
    return false;
  }
}
