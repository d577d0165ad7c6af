import { html, show } from "../lib/html.js";
import { changes, keep, rowOf } from "../outbox/queue.js";
import { mendLink, savedMarkup } from "../outbox/saved.js";
import { sync } from "../sync/flush.js";

/** @import { Row } from "../outbox/rows.js" */

const LOOK_MS = 15000;

/**
 * Says where one record is saved: nowhere yet, on this phone, on the server. Who takes it off this phone does not tell
 * the page, so it is looked for time and again; what is nowhere else can be kept once more from the page.
 */
export class FlSaved extends HTMLElement {
  /** @type {ReturnType<typeof setInterval>|undefined} */
  #timer;
  /** As it was last seen. @type {Row|null} */
  #row = null;
  /** @type {string|null} */
  #id = null;
  /** @type {(() => void)|null} */
  #again = null;

  connectedCallback() {
    changes.addEventListener("changed", this);
    document.addEventListener("visibilitychange", this);
    this.addEventListener("click", this);
    this.#timer = setInterval(() => this.#refresh(), LOOK_MS);
    if (!this.#id) this.wait("Saving…");
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
    document.removeEventListener("visibilitychange", this);
    clearInterval(this.#timer);
  }

  /** @param {string} sentence shown while there is no record to follow */
  wait(sentence) {
    this.#id = null;
    this.#row = null;
    show(this, html`<span class="saved">${sentence}</span>`);
  }

  /** @param {string} id of a record that is on this phone */
  follow(id) {
    this.#id = id;
    this.#row = null;
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

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type !== "click") this.#refresh();
    else if (/** @type {Element} */ (target).closest("[data-again]")) this.#again?.();
  }

  async #refresh() {
    const id = this.#id;
    if (!id) return;
    try {
      const row = (await rowOf(id)) ?? null;
      if (id !== this.#id) return;
      if (row) show(this, html`${savedMarkup(row)}${mendLink(row)}`);
      else if (this.#row) this.#isGone(this.#row);
      this.#row = row ?? this.#row;
    } catch (error) {
      console.error(error);
      show(
        this,
        html`<span class="saved saved--refused" role="alert">Whether this is on this phone cannot be said now: ${
          /** @type {Error} */ (error).message
        } Keep this page open, or write it down.</span>`,
      );
    }
  }

  /** @param {Row} row */
  #isGone({ saved, record }) {
    this.#again = () =>
      keep(record).then(
        () => this.follow(record.id),
        (error) => this.fail(error, () => this.#again?.()),
      );
    const isElsewhere = saved === "server";
    show(
      this,
      html`<span class="saved saved--refused" role="alert">No longer on this phone: its store was emptied, or somebody
        signed out. ${isElsewhere ? "The server had confirmed it." : "The server had not confirmed it."}</span>
      ${isElsewhere ? "" : html`<button type="button" class="button button--quiet" data-again>Keep it again</button>`}`,
    );
  }
}
