/** Pages that send a person elsewhere for a test and wait for them. */
const WAITING = /^\/changes\/[0-9a-f-]{36}$/i;

/** @returns {string|null} the page that this one was opened from, where it waits for what is done here */
export function wayBack() {
  const from = document.referrer && new URL(document.referrer);
  return from && from.origin === location.origin && WAITING.test(from.pathname) ? from.pathname : null;
}
