import { html, show } from "../lib/html.js";

const MEGABYTE = 1048576;

/** Says how much room the site takes up in this browser, and whether the browser may empty it. */
export class FlRoom extends HTMLElement {
  async connectedCallback() {
    if (!navigator.storage?.estimate) return;
    try {
      const [{ usage = 0, quota = 0 }, isKept] = await Promise.all([
        navigator.storage.estimate(),
        navigator.storage.persisted?.() ?? false,
      ]);
      show(this, html`<p>${size(usage)} used of ${size(quota)}.</p><p>${isKept ? KEPT : NOT_KEPT}</p>`);
    } catch (error) {
      console.warn(error);
    }
  }
}

const KEPT = "The browser promised not to empty this store by itself.";
const NOT_KEPT =
  "The browser may empty this store when the phone is full, or after a week without a visit. Let what waits " +
  "reach the server, or save it to a file.";

/** @param {number} bytes */
function size(bytes) {
  const megabytes = bytes / MEGABYTE;
  if (megabytes < 1) return "Less than 1 MB";
  return megabytes < 10240 ? `${Math.round(megabytes)} MB` : `${Math.round(megabytes / 1024)} GB`;
}
