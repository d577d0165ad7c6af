import { html, show } from "../lib/html.js";
import { changes, rowOf } from "../outbox/queue.js";
import { mendLink, savedMarkup } from "../outbox/saved.js";
import { sync } from "../sync/flush.js";

/** Says where one record is saved: nowhere yet, on this phone, on the server. */
export class FlSaved extends HTMLElement {
  /** @type {string|null} */
  #id = null;
  /** @type {(() => void)|null} */
  #again = null;

  connectedCallback() {
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    if (!this.#id) this.wait("Saving…");
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  /** @param {string} sentence shown while there is no record to follow */
  wait(sentence) {
    this.#id = null;
    show(this, html`<span class="saved">${sentence}</span>`);
  }

  /** @param {string} id of a record that is on this phone */
  follow(id) {
    this.#id = id;
    this.#refresh();
    sync();
  }

  /** @param {Error} error @param {() => void} again tries once more */
  fail(error, again) {
    this.#id = null;
    this.#again = again;
    show(
      this,
      html`<span class="saved saved--refused" role="alert">Not saved: ${
        error?.name === "Error" ? error.message : `the phone’s storage refused it (${error?.name}).`
      } Keep this page open, or write it down.</span>
      <button type="button" class="button button--quiet" data-again>Try again</button>`,
    );
  }

  handleEvent(event) {
    if (event.type === "changed") this.#refresh();
    else if (event.target.closest("[data-again]")) this.#again?.();
  }

  async #refresh() {
    const row = this.#id && (await rowOf(this.#id));
    if (row) show(this, html`${savedMarkup(row)}${mendLink(row)}`);
  }
}
