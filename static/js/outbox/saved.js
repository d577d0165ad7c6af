import { counted } from "../lib/ages.js";
import { html } from "../lib/html.js";

/**
 * Says where a record is saved.
 * @param {import("./queue.js").Row} row
 */
export function savedMarkup({ saved, problems, tries }) {
  if (saved === "refused")
    return html`<span class="saved saved--refused">Saved on this phone. The server refused it: ${problems
      .map(({ problem }) => problem)
      .join(" ")}</span>`;
  const failing =
    saved === "phone" && tries ? `. The server failed on it ${counted(tries, "time")}; it is tried again` : "";
  return html`<span class="saved" data-saved="${saved}">${
    saved === "server" ? "On the server" : "Saved on this phone"
  }${failing}</span>`;
}

/**
 * Leads to where a record that the server does not take is mended.
 * @param {import("./queue.js").Row} row
 */
export function mendLink({ saved, tries }) {
  return saved === "refused" || (saved === "phone" && tries)
    ? html` <a class="button button--quiet" href="/phone">Mend it</a>`
    : "";
}
