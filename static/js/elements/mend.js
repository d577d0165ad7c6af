import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { assess, openRulebook } from "../check/engine.js";
import { fill, read, showProblems } from "../lib/fields.js";
import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { mend } from "../outbox/mending.js";
import { rowOf } from "../outbox/queue.js";
import { mendMarkup } from "../phone/form.js";
import { judgedAnew } from "../phone/judging.js";
import { formOf, readText, withTyped } from "../phone/mending.js";
import { rulebook } from "../sync/rulebook.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { DraftOwner } from "../check/draft.js" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { MendOutcome } from "../phone/judging.js" */
/** @typedef {DraftOwner & {values: Record<string, string>, isText: boolean}} Draft */

/** The form in which one refused record is mended. Each keystroke is kept until it is saved or left on purpose. */
export class FlMend extends HTMLElement {
  /** @type {string} whose form this is; set before it enters the page */
  rowId = "";
  /** @type {import("../phone/labels.js").Labels|undefined} */
  labels;
  /** @type {Row|undefined} */
  #row;
  /** @type {Draft} */
  #draft = { values: {}, isText: false };

  async connectedCallback() {
    for (const type of ["submit", "input", "click"]) this.addEventListener(type, this);
    addEventListener("pagehide", this);
    openRulebook();
    this.#row = await rowOf(this.rowId);
    if (!this.#row) return this.#end("fl-left");
    this.#draft = (await loadDraft(this.#key)) ?? { ...this.#draft, account: await typist().catch(() => null) };
    this.#render();
    return partOf(this, "h4").focus();
  }

  disconnectedCallback() {
    removeEventListener("pagehide", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.type === "input") this.#typed();
    else if (event.type === "submit") this.#submitted(event);
    else if (event.type === "click") this.#tapped(/** @type {Element} */ (event.target));
    else this.#leave();
  }

  get #key() {
    return `mend:${this.rowId}`;
  }

  get #form() {
    return partOf(this, "form", HTMLFormElement);
  }

  /** What the server has against the record. */
  get #own() {
    return /** @type {Row} */ (this.#row); // there is a form only where there is a row
  }

  #render() {
    const { record, problems } = this.#own;
    show(this, mendMarkup(formOf(record, problems, this.labels), { isText: this.#draft.isText, index: this.rowId }));
    if (this.#draft.isText) fill(this.#form, { text: JSON.stringify(this.#record, null, 2) });
    fill(this.#form, this.#draft.values);
  }

  #typed() {
    Object.assign(this.#draft.values, read(this.#form));
    this.#leave();
    saveDraft(this.#key, this.#draft).catch((error) => console.warn(error));
  }

  #leave() {
    if (Object.keys(this.#draft.values).length) leaveDraft(this.#key, this.#draft);
  }

  /** @param {Element} target */
  async #tapped(target) {
    if (target.closest("[data-text]")) this.#openAsText();
    if (!target.closest("[data-leave]")) return;
    await dropDraft(this.#key, this.#draft);
    this.#end("fl-left");
  }

  #openAsText() {
    this.#draft.isText = true;
    this.#render();
    this.#typed();
    partOf(this, "textarea[name=text]").focus();
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    Object.assign(this.#draft.values, read(this.#form));
    const made = await this.#made();
    if (!made.record) return this.#fail(made.problem ?? "");
    try {
      const row = await mend(this.rowId, /** @type {LogRecord} */ (made.record));
      await dropDraft(this.#key, this.#draft);
      return this.#end("fl-mended", row.id);
    } catch (error) {
      console.error(error);
      return this.#fail("Not saved: the phone’s storage refused it. What you typed is still here; try again.");
    }
  }

  /** What the fields make of the record, before it is judged. */
  get #record() {
    const { record, problems } = this.#own;
    return withTyped(record, formOf(record, problems).fields, this.#draft.values);
  }

  /** @returns {Promise<MendOutcome>} */
  async #made() {
    const typed = this.#draft.isText ? readText(this.#draft.values.text ?? "") : { record: this.#record };
    if (!typed.record) return typed;
    await openRulebook();
    const check = await rowOf(String(typed.record.subject));
    return judgedAnew(typed.record, this.#own.record, {
      rulebook: rulebook(),
      supply: (check && "check" in check.record.body && check.record.body.check?.supply) || "utility",
      assess,
    });
  }

  /** @param {string} sentence */
  #fail(sentence) {
    showProblems(this.#form, { [this.#draft.isText ? "text" : "form"]: sentence });
    partOf(this, "[data-problem=form], [data-problem=text]").scrollIntoView({ block: "nearest" });
  }

  /** @param {"fl-mended"|"fl-left"} type @param {string} [id] */
  #end(type, id) {
    this.dispatchEvent(new CustomEvent(type, { bubbles: true, detail: { id } }));
  }
}
