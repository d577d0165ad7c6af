import { html } from "./html.js";

/**
 * Says where a record is saved.
 * @param {import("../outbox/queue.js").Row} row
 */
export function savedMarkup({ saved, problems }) {
  if (saved === "refused") return html`<span class="saved saved--refused">Saved on this phone. The server refused it: ${problems.map(({ problem }) => problem).join(" ")}</span>`;
  return html`<span class="saved" data-saved="${saved}">${saved === "server" ? "On the server" : "Saved on this phone"}</span>`;
}
