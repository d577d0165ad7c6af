import { dropDraft, leaveDraft, loadDraft, saveDraft } from "../check/draft.js";
import { assess, openRulebook } from "../check/engine.js";
import { fill, read, showProblems } from "../lib/fields.js";
import { show } from "../lib/html.js";
import { mend } from "../outbox/mending.js";
import { rowOf } from "../outbox/queue.js";
import { mendMarkup } from "../phone/form.js";
import { judgedAnew } from "../phone/judging.js";
import { formOf, readText, withTyped } from "../phone/mending.js";
import { rulebook } from "../sync/rulebook.js";

/** The form in which one refused record is mended. Each keystroke is kept until it is saved or left on purpose. */
export class FlMend extends HTMLElement {
  /** @type {string} whose form this is; set before it enters the page */
  rowId = "";
  /** @type {import("../phone/labels.js").Labels|undefined} */
  labels;
  /** @type {import("../outbox/queue.js").Row|undefined} */
  #row;
  #draft = { values: {}, isText: false };

  async connectedCallback() {
    for (const type of ["submit", "input", "click"]) this.addEventListener(type, this);
    addEventListener("pagehide", this);
    openRulebook();
    this.#row = await rowOf(this.rowId);
    if (!this.#row) return this.#end("fl-left");
    this.#draft = (await loadDraft(this.#key)) ?? this.#draft;
    this.#render();
    return this.querySelector("h4").focus();
  }

  disconnectedCallback() {
    removeEventListener("pagehide", this);
  }

  handleEvent(event) {
    this[`on${event.type}`](event);
  }

  get #key() {
    return `mend:${this.rowId}`;
  }

  get #form() {
    return this.querySelector("form");
  }

  #render() {
    const { record, problems } = this.#row;
    show(this, mendMarkup(formOf(record, problems, this.labels), { isText: this.#draft.isText, index: this.rowId }));
    if (this.#draft.isText) fill(this.#form, { text: JSON.stringify(this.#record, null, 2) });
    fill(this.#form, this.#draft.values);
  }

  oninput() {
    Object.assign(this.#draft.values, read(this.#form));
    this.#leave();
    saveDraft(this.#key, this.#draft).catch((error) => console.warn(error));
  }

  onpagehide() {
    this.#leave();
  }

  #leave() {
    if (Object.keys(this.#draft.values).length) leaveDraft(this.#key, this.#draft);
  }

  async onclick({ target }) {
    if (target.closest("[data-text]")) this.#openAsText();
    if (!target.closest("[data-leave]")) return;
    await dropDraft(this.#key, this.#draft);
    this.#end("fl-left");
  }

  #openAsText() {
    this.#draft.isText = true;
    this.#render();
    this.oninput();
    this.querySelector("textarea[name=text]").focus();
  }

  async onsubmit(event) {
    event.preventDefault();
    Object.assign(this.#draft.values, read(this.#form));
    const made = await this.#made();
    if (made.problem) return this.#fail(made.problem);
    try {
      const row = await mend(this.rowId, made.record);
      await dropDraft(this.#key, this.#draft);
      return this.#end("fl-mended", row.id);
    } catch (error) {
      console.error(error);
      return this.#fail("Not saved: the phone’s storage refused it. What you typed is still here; try again.");
    }
  }

  /** What the fields make of the record, before it is judged. */
  get #record() {
    const { record, problems } = this.#row;
    return withTyped(record, formOf(record, problems).fields, this.#draft.values);
  }

  /** @returns {Promise<{record: Record<string, any>}|{problem: string}>} */
  async #made() {
    const typed = this.#draft.isText ? readText(this.#draft.values.text) : { record: this.#record };
    if (typed.problem) return typed;
    await openRulebook();
    const check = await rowOf(String(typed.record.subject));
    return judgedAnew(typed.record, this.#row.record, {
      rulebook: rulebook(),
      supply: check?.record.body?.check?.supply ?? "utility",
      assess,
    });
  }

  #fail(sentence) {
    showProblems(this.#form, { [this.#draft.isText ? "text" : "form"]: sentence });
    this.querySelector("[data-problem=form], [data-problem=text]").scrollIntoView({ block: "nearest" });
  }

  /** @param {"fl-mended"|"fl-left"} type @param {string} [id] */
  #end(type, id) {
    this.dispatchEvent(new CustomEvent(type, { bubbles: true, detail: { id } }));
  }
}
