import { fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { NotingForm } from "../rig/noting-form.js";
import { setBody, setProblems } from "./answers.js";

/** @import { Answers } from "./answers.js" */

/** Notes a cord, extension or adapter with the number marked on it, and leads to its test. */
export class FlSet extends HTMLElement {
  #noting = new NotingForm(this, "sets/new");

  async connectedCallback() {
    for (const type of ["submit", "input", "click"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide"]) window.addEventListener(type, this);
    await this.#arrive();
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide"]) window.removeEventListener(type, this);
  }

  /** @param {Event} event @returns {unknown} */
  handleEvent(event) {
    if (event.type === "input") return this.#typedAt(/** @type {HTMLInputElement} */ (event.target));
    if (event.type === "submit") return this.#submitted(event);
    if (event.type === "click")
      return /** @type {Element} */ (event.target).closest("[data-another]") ? this.#another() : undefined;
    return event.type === "hashchange" ? this.#arrive() : this.#noting.leave();
  }

  async #arrive() {
    const wanted = new URLSearchParams(location.hash.slice(1)).get("rig");
    await this.#noting.open();
    await this.#showFor(wanted ?? String(this.#noting.draft.values.rig ?? ""));
  }

  /** @param {string} rig */
  async #showFor(rig) {
    await this.#noting.findRig(rig);
    fill(this.#noting.form, this.#noting.draft.values);
  }

  /** @param {HTMLInputElement} target */
  async #typedAt(target) {
    this.#noting.noteTyped(target);
    if (target.name === "rig") await this.#showFor(target.value);
    this.#noting.saveDraft();
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const { form, rig, isKept } = this.#noting;
    const answers = /** @type {Answers} */ (read(form));
    const problems = {
      ...this.#noting.rigProblem("Say to which rig it belongs."),
      ...setProblems(answers, rig?.sets ?? []),
    };
    showProblems(form, problems);
    if (Object.keys(problems).length || isKept || !rig) return;
    const kind = partOf(form, "[name=type]:checked + span").textContent ?? "";
    const body = setBody(answers, kind.trim());
    const id = await this.#noting.keep({ kind: "device", rig: rig.id, body });
    if (id) this.#showKept(rig.id, id, body.name);
  }

  /** @param {string} rig @param {string} id @param {string} name */
  #showKept(rig, id, name) {
    show(
      partOf(this, "[data-part=told]"),
      html`<h1 tabindex="-1">Noted: ${name}</h1><p>It is due now: test it before first use.</p>`,
    );
    partOf(this, "[data-part=test]", HTMLAnchorElement).href = `/round#rig=${rig}&at=set-${id}`;
    this.#noting.showKept(id);
  }

  /** What a set is and how it is used is mostly as the one before; its number never is. */
  async #another() {
    const { form, rig } = this.#noting;
    const { type = "", hots = "", fixed = "" } = read(form);
    form.reset();
    partOf(this, "[data-part=kept]").hidden = true;
    form.hidden = false;
    await this.#noting.begin({ type, hots, fixed });
    await this.#showFor(rig?.id ?? "");
    window.scrollTo(0, 0);
    partOf(this, "h1").focus({ preventScroll: true });
  }
}
