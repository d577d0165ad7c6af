import { html, show } from "../lib/html.js";
import { shell, useNewer } from "../offline/shell.js";

/** Offers a newer version, and never takes it by itself. */
export class FlUpdate extends HTMLElement {
  #isTyped = false;

  connectedCallback() {
    shell.addEventListener("changed", this);
    this.addEventListener("click", this);
    for (const type of ["input", "submit"]) document.addEventListener(type, this);
    if (shell.isNewer) this.#offer();
  }

  disconnectedCallback() {
    shell.removeEventListener("changed", this);
    for (const type of ["input", "submit"]) document.removeEventListener(type, this);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "changed") this.#offer();
    else if (type === "submit") this.#isTyped = false;
    else if (target instanceof Element && type === "input") this.#typedAt(target);
    else if (target instanceof Element) this.#tapped(target);
  }

  #offer() {
    if (!shell.isNewer || !this.hidden) return;
    show(
      this,
      html`<p class="update__word">A newer version is ready.</p>
      <button type="button" class="button button--quiet" data-use>Use it now</button>
      <button type="button" class="button button--quiet" data-close>Later</button>`,
    );
    this.hidden = false;
  }

  /** A check keeps each keystroke; what is typed elsewhere would go with the page. @param {Element} target */
  #typedAt(target) {
    if (!target.closest("fl-check")) this.#isTyped = true;
  }

  /** @param {Element} target */
  #tapped(target) {
    if (target.closest("[data-close]")) this.hidden = true;
    if (!target.closest("[data-use]")) return;
    if (this.#isTyped) this.#refuse();
    else useNewer();
  }

  #refuse() {
    show(
      this,
      html`<p class="update__word">What you typed here would be lost. Send it first; the newer version waits.</p>
      <button type="button" class="button button--quiet" data-close>Close</button>`,
    );
  }
}
