import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { record } from "../check/log-record.js";
import { madeBy } from "../check/saving.js";
import { showWhen } from "../check/when.js";
import { clearProblem, fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { dayOf, localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { allRows, keep } from "../outbox/queue.js";
import { dueOf } from "../rig/due.js";
import { rigsOf } from "../rig/rig-of.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";
import { struckMarkup } from "./due-markup.js";

/** @import { Values } from "../check/entries.js" */
/** @import { Typed } from "../check/draft.js" */
/** @import { Rig } from "../rig/rig-of.js" */

const PAGE = "incidents/new";
const DUE_NOT_KNOWN =
  "What it makes due is not known on this phone now. Open this page once with a signal; until then count all as due.";
const NO_RIG = "This phone knows no rig, so it cannot be kept here. Note the rig under Rigs, then come back.";

/** Notes what went wrong in three taps: what, where, keep. Then it says what is due and what clears that. */
export class FlIncident extends HTMLElement {
  /** @type {Rig[]} */
  #rigs = [];
  /** @type {Rig|null} */
  #rig = null;
  /** @type {Typed & {values: Record<string, string|string[]>}} */
  #draft = { values: {} };
  #isKept = false;

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
    return event.type === "hashchange" ? this.#arrive() : this.#leave();
  }

  get #form() {
    return partOf(this, "form", HTMLFormElement);
  }

  async #arrive() {
    const wanted = new URLSearchParams(location.hash.slice(1));
    this.#draft = (await loadDraft(PAGE)) ?? { values: {}, account: await typist().catch(() => null) };
    const what = wanted.get("what");
    if (what) this.#draft.values = { ...this.#draft.values, what };
    await this.#findRig(wanted.get("rig") ?? String(this.#draft.values.rig ?? ""));
    fill(this.#form, this.#draft.values);
    this.#showWhen();
    partOf(this, "[data-part=words]", HTMLDetailsElement).open = Boolean(this.#draft.values.note);
  }

  /** @param {string} wanted */
  async #findRig(wanted) {
    this.#rigs = rigsOf(await allRows().catch(() => []));
    if (!this.#rigs.length)
      this.#rigs = await sync()
        .then(allRows)
        .then(rigsOf, () => []);
    const [only] = this.#rigs;
    this.#rig = this.#rigs.find(({ id }) => id === wanted) ?? (this.#rigs.length === 1 && only ? only : null);
    this.#showPlaces();
  }

  #showPlaces() {
    const rigs = partOf(this, "[data-part=rigs]");
    rigs.hidden = this.#rigs.length === 1;
    partOf(this, "[data-part=where]").hidden = !this.#rig;
    show(
      rigs,
      this.#rigs.length
        ? html`<fieldset class="field choices choices--lines" aria-describedby="rig-problem"><legend>Which rig?</legend>
          <div class="choices__options">${this.#rigs.map((each) => choice("rig", each.id, each.name))}</div>
          <p class="problem" id="rig-problem" data-problem="rig" hidden></p></fieldset>`
        : html`<p class="notice">${NO_RIG} <a class="button button--quiet" href="/rigs">Rigs</a></p>`,
    );
    partOf(this, "[data-part=rig]").textContent = this.#rig ? `: ${this.#rig.name}` : "";
    if (!this.#rig) return;
    const { id, outlets, devices, sets } = this.#rig;
    const cords = sets.filter(({ body }) => !body.retired);
    partOf(this, "[data-part=back]", HTMLAnchorElement).href = `/round#rig=${id}`;
    show(
      partOf(this, "[data-part=places]"),
      html`${choice("where", "cord", "The shore cord, its plug or the inlet")}
        ${[...cords, ...outlets, ...devices].map((thing) => choice("where", thing.id, thing.body.name))}
        ${choice("where", "rig", "Not known, or all over the rig")}`,
    );
  }

  /** @param {HTMLInputElement} target */
  async #typedAt(target) {
    if (target.closest("fl-photos")) return;
    this.#draft.values = read(this.#form);
    clearProblem(this.#form, target.name);
    if (target.name === "rig") await this.#findRig(target.value);
    fill(this.#form, this.#draft.values);
    this.#showWhen();
    if (target.name === "what") partOf(this, "[data-part=now]").scrollIntoView({ block: "start", behavior: "instant" });
    saveDraft(PAGE, this.#draft).catch((error) => console.error(error));
  }

  #showWhen() {
    showWhen(this.#form, /** @type {Values} */ (this.#draft.values));
  }

  #leave() {
    if (!this.#isKept && Object.values(this.#draft.values).some(Boolean)) leaveDraft(PAGE, this.#draft);
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const { what, where, note } = /** @type {Record<string, string>} */ (read(this.#form));
    const problems = {
      ...(what ? {} : { what: "Say what happened." }),
      ...(this.#rig || !this.#rigs.length ? {} : { rig: "Say on which rig." }),
      ...(where || !this.#rig ? {} : { where: "Say where it happened, or that it is not known." }),
    };
    showProblems(this.#form, problems);
    if (Object.keys(problems).length || this.#isKept || !this.#rig || !what || !where) return;
    await this.#keep(this.#rig, what, where, (note ?? "").trim());
  }

  /** @param {Rig} rig @param {string} what @param {string} where @param {string} note */
  async #keep(rig, what, where, note) {
    this.#isKept = true;
    const isThing = !["cord", "rig"].includes(where);
    const id = uuid7();
    try {
      await keep(
        record({
          id,
          kind: "incident",
          rig: rig.id,
          subject: isThing ? where : null,
          observed_at: localIso(new Date()),
          made_by: await madeBy(),
          body: { what, at: isThing ? "thing" : where, note },
        }),
        this.#draft.account,
      );
    } catch (error) {
      console.error(error);
      this.#isKept = false;
      const place = this.#form.querySelector("fl-saved");
      if (!place) return;
      place.hidden = false;
      return place.fail(/** @type {Error} */ (error), () => this.#form.requestSubmit());
    }
    await dropDraft(PAGE, this.#draft).catch((error) => console.error(error));
    return this.#showKept(id, what);
  }

  /** @param {string} id @param {string} what */
  async #showKept(id, what) {
    const kept = partOf(this, "[data-part=kept]");
    const now = this.#form.querySelector(`[data-when="what=${what}"]`);
    const told = partOf(this, "[data-part=told]");
    show(told, html`<h1 tabindex="-1">Noted: ${this.#rig?.name}</h1>`);
    if (now) told.append(now);
    this.#form.hidden = true;
    kept.hidden = false;
    kept.querySelector("fl-saved")?.follow(id);
    kept.querySelector("fl-photos")?.about(id);
    window.scrollTo(0, 0);
    partOf(kept, "h1").focus({ preventScroll: true });
    const rules = await rigRules();
    const rig = rigsOf(await allRows()).find((each) => each.id === this.#rig?.id);
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

/** @param {string} name @param {string} value @param {string} label */
const choice = (name, value, label) =>
  html`<label class="choice"><input type="radio" name="${name}" value="${value}"><span
    class="choice__label">${label}</span></label>`;
