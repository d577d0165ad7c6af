import { showWhen } from "../check/when.js";
import { fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { dayOf, localIso } from "../lib/times.js";
import { newestRows } from "../outbox/newest.js";
import { dueOf } from "../rig/due.js";
import { choice, NotingForm } from "../rig/noting-form.js";
import { rigsOf } from "../rig/rig-of.js";
import { rigRules } from "../sync/rig-rules.js";
import { struckMarkup } from "./due-markup.js";

/** @import { Values } from "../check/entries.js" */

const DUE_NOT_KNOWN =
  "What it makes due is not known on this phone now. Open this page once with a signal; until then count all as due.";

/** Notes what went wrong in three taps: what, where, keep. Then it says what is due and what clears that. */
export class FlIncident extends HTMLElement {
  #noting = new NotingForm(this, "incidents/new");

  async connectedCallback() {
    for (const type of ["submit", "input"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide"]) window.addEventListener(type, this);
    rigRules(); // what the list of what is due needs
    await this.#arrive();
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide"]) window.removeEventListener(type, this);
  }

  /** @param {Event} event @returns {unknown} */
  handleEvent(event) {
    if (event.type === "input") return this.#typedAt(/** @type {HTMLInputElement} */ (event.target));
    if (event.type === "submit") return this.#submitted(event);
    return event.type === "hashchange" ? this.#arrive() : this.#noting.leave();
  }

  async #arrive() {
    const wanted = new URLSearchParams(location.hash.slice(1));
    await this.#noting.open();
    const { draft } = this.#noting;
    const what = wanted.get("what");
    if (what) draft.values = { ...draft.values, what };
    await this.#findRig(wanted.get("rig") ?? String(draft.values.rig ?? ""));
    this.#showTyped();
    partOf(this, "[data-part=words]", HTMLDetailsElement).open = Boolean(draft.values.note);
  }

  /** @param {string} wanted */
  async #findRig(wanted) {
    await this.#noting.findRig(wanted);
    const { rig } = this.#noting;
    partOf(this, "[data-part=where]").hidden = !rig;
    if (!rig) return;
    const cords = rig.sets.filter(({ body }) => !body.retired);
    show(
      partOf(this, "[data-part=places]"),
      html`${choice("where", "cord", "The shore cord, its plug or the inlet")}
        ${[...cords, ...rig.outlets, ...rig.devices].map((thing) => choice("where", thing.id, thing.body.name))}
        ${choice("where", "rig", "Not known, or all over the rig")}`,
    );
  }

  /** @param {HTMLInputElement} target */
  async #typedAt(target) {
    if (target.closest("fl-photos")) return;
    this.#noting.noteTyped(target);
    if (target.name === "rig") await this.#findRig(target.value);
    this.#showTyped();
    if (target.name === "what") partOf(this, "[data-part=now]").scrollIntoView({ block: "start", behavior: "instant" });
    this.#noting.saveDraft();
  }

  #showTyped() {
    const { form, draft } = this.#noting;
    fill(form, draft.values);
    showWhen(form, /** @type {Values} */ (draft.values));
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const { form, rig, isKept } = this.#noting;
    const { what, where, note = "" } = /** @type {Record<string, string>} */ (read(form));
    const problems = {
      ...(what ? {} : { what: "Say what happened." }),
      ...this.#noting.rigProblem("Say on which rig."),
      ...(where || !rig ? {} : { where: "Say where it happened, or that it is not known." }),
    };
    showProblems(form, problems);
    if (Object.keys(problems).length || isKept || !rig || !what || !where) return;
    const isThing = !["cord", "rig"].includes(where);
    const body = { what, at: isThing ? "thing" : where, note: note.trim() };
    const subject = isThing ? where : null;
    const id = await this.#noting.keep({ kind: "incident", rig: rig.id, subject, body });
    if (id) await this.#showKept(id, what);
  }

  /** @param {string} id @param {string} what */
  async #showKept(id, what) {
    const { form, rig: noted } = this.#noting;
    const now = form.querySelector(`[data-when="what=${what}"]`);
    const told = partOf(this, "[data-part=told]");
    show(told, html`<h1 tabindex="-1">Noted: ${noted?.name}</h1>`);
    if (now) told.append(now);
    this.#noting.showKept(id).querySelector("fl-photos")?.about(id);
    const rules = await rigRules();
    const rig = rigsOf(await newestRows()).find((each) => each.id === noted?.id);
    if (!rig || !rules) return show(partOf(this, "[data-part=due]"), html`<p class="notice">${DUE_NOT_KNOWN}</p>`);
    const due = dueOf(rig, rules.due, dayOf(localIso(new Date())), rules.incidents);
    show(
      partOf(this, "[data-part=due]"),
      struckMarkup(
        rig,
        due.filter(({ rule, thing }) => rule === thing.struck?.rule),
      ),
    );
  }
}
