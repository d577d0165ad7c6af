import { html, show } from "../lib/html.js";
import { shell } from "../offline/shell.js";
import { get } from "../outbox/db.js";

const SENTENCES = {
  "no-worker":
    "This browser keeps no pages, as old browsers and private windows do not. An open page goes on without the " +
    "server; opening one needs it.",
  "not-kept":
    "The pages are not kept on this phone yet, so opening one needs the server. It is tried again each time a " +
    "page opens with a signal.",
  "no-store":
    "This browser keeps nothing on this phone, as some private windows do not. A check is judged here but goes " +
    "with the page: write down what you read.",
};

/** Says honestly what will not work in this browser, and what still does. */
export class FlOffline extends HTMLElement {
  #hasStore = true;

  async connectedCallback() {
    shell.addEventListener("changed", this);
    this.handleEvent();
    await get("kept", "account").catch(() => {
      this.#hasStore = false;
      this.handleEvent();
    });
  }

  disconnectedCallback() {
    shell.removeEventListener("changed", this);
  }

  handleEvent() {
    const problem = this.#hasStore ? shell.problem : "no-store";
    this.hidden = !problem;
    if (problem) show(this, html`<p class="offline">${SENTENCES[problem]}</p>`);
  }
}
