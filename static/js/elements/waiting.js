import { html, show } from "../lib/html.js";
import { changes, unsentRows } from "../outbox/queue.js";
import { standing } from "../sync/flush.js";

/** Says how much is on this phone only, and why it is not on the server yet. */
export class FlWaiting extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
    changes.addEventListener("changed", this);
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
    changes.removeEventListener("changed", this);
  }

  async handleEvent() {
    const rows = await unsentRows();
    const refused = rows.filter(({ saved }) => saved === "refused").length;
    this.hidden = !rows.length;
    if (rows.length) show(this, html`${counted(rows.length)} on this phone only. ${this.#why(refused)}`);
  }

  #why(refused) {
    if (!standing.reached) return "There is no way to the server now; it is tried again by itself.";
    if (!standing.signedIn) return html`Signed in, they go to the server. <a class="button button--quiet" href="/sign-in">Sign in</a>`;
    return refused ? `The server refused ${refused}; each check says why.` : "They are being sent.";
  }
}

const counted = (number) => (number === 1 ? "1 record is" : `${number} records are`);
