/** Pages that send a person elsewhere for a test and wait for them. */
const WAITING = /^\/changes\/[0-9a-f-]{36}$/i;
/** The screen of the arrival check that asks for the cords of today. */
const PLUGGING = { page: "/arrive", way: "/arrive#plug" };

/** @returns {string|null} the page that this one was opened from, where it waits for what is done here */
export function wayBack() {
  const from = document.referrer && new URL(document.referrer);
  if (!from || from.origin !== location.origin) return null;
  if (from.pathname === PLUGGING.page && location.hash.includes("at=set-look-")) return PLUGGING.way;
  return WAITING.test(from.pathname) ? from.pathname : null;
}
