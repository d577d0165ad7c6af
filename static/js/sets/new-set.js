import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { record } from "../check/log-record.js";
import { madeBy } from "../check/saving.js";
import { clearProblem, fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { allRows, keep } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { sync } from "../sync/flush.js";
import { setBody, setProblems } from "./answers.js";

/** @import { Typed } from "../check/draft.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { Answers } from "./answers.js" */

const PAGE = "sets/new";
const NO_RIG = "This phone knows no rig, so it cannot be kept here. Note the rig under Rigs, then come back.";

/** Notes a cord, extension or adapter with the number marked on it, and leads to its test. */
export class FlSet extends HTMLElement {
  /** @type {Rig[]} */
  #rigs = [];
  /** @type {Rig|null} */
  #rig = null;
  /** @type {Typed & {values: Record<string, string|string[]>}} */
  #draft = { values: {} };
  #isKept = false;

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
    return event.type === "hashchange" ? this.#arrive() : this.#leave();
  }

  get #form() {
    return partOf(this, "form", HTMLFormElement);
  }

  async #arrive() {
    const wanted = new URLSearchParams(location.hash.slice(1)).get("rig");
    this.#draft = (await loadDraft(PAGE)) ?? { values: {}, account: await typist().catch(() => null) };
    await this.#findRig(wanted ?? String(this.#draft.values.rig ?? ""));
    fill(this.#form, this.#draft.values);
  }

  /** What is not on the phone yet may be on the server. @param {string} wanted */
  async #findRig(wanted) {
    this.#rigs = rigsOf(await allRows().catch(() => []));
    if (!this.#rigs.length)
      this.#rigs = await sync()
        .then(allRows)
        .then(rigsOf, () => []);
    const [only] = this.#rigs;
    this.#rig = this.#rigs.find(({ id }) => id === wanted) ?? (this.#rigs.length === 1 && only ? only : null);
    this.#showRigs();
  }

  #showRigs() {
    const place = partOf(this, "[data-part=rigs]");
    place.hidden = this.#rigs.length === 1;
    show(
      place,
      this.#rigs.length
        ? html`<fieldset class="field choices choices--lines" aria-describedby="rig-problem"><legend>Which rig?</legend>
          <div class="choices__options">${this.#rigs.map(
            ({ id, name }) => html`<label class="choice"><input type="radio" name="rig" value="${id}"><span
              class="choice__label">${name}</span></label>`,
          )}</div><p class="problem" id="rig-problem" data-problem="rig" hidden></p></fieldset>`
        : html`<p class="notice">${NO_RIG} <a class="button button--quiet" href="/rigs">Rigs</a></p>`,
    );
    partOf(this, "[data-part=rig]").textContent = this.#rig ? `: ${this.#rig.name}` : "";
    if (this.#rig) partOf(this, "[data-part=back]", HTMLAnchorElement).href = `/round#rig=${this.#rig.id}`;
  }

  /** @param {HTMLInputElement} target */
  async #typedAt(target) {
    this.#draft.values = read(this.#form);
    clearProblem(this.#form, target.name);
    if (target.name === "rig") {
      await this.#findRig(target.value);
      fill(this.#form, this.#draft.values);
    }
    saveDraft(PAGE, this.#draft).catch((error) => console.error(error));
  }

  #leave() {
    if (!this.#isKept && Object.values(this.#draft.values).some(Boolean)) leaveDraft(PAGE, this.#draft);
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const answers = /** @type {Answers} */ (read(this.#form));
    const problems = {
      ...(this.#rig || !this.#rigs.length ? {} : { rig: "Say to which rig it belongs." }),
      ...setProblems(answers, this.#rig?.sets ?? []),
    };
    showProblems(this.#form, problems);
    if (Object.keys(problems).length || this.#isKept || !this.#rig) return;
    const kind = partOf(this.#form, "[name=type]:checked + span").textContent ?? "";
    await this.#keep(this.#rig, setBody(answers, kind.trim()));
  }

  /** @param {Rig} rig @param {ReturnType<typeof setBody>} body */
  async #keep(rig, body) {
    this.#isKept = true;
    const id = uuid7();
    try {
      await keep(
        record({ id, kind: "device", rig: rig.id, observed_at: localIso(new Date()), made_by: await madeBy(), body }),
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
    return this.#showKept(rig, id, body.name);
  }

  /** @param {Rig} rig @param {string} id @param {string} name */
  #showKept(rig, id, name) {
    const kept = partOf(this, "[data-part=kept]");
    show(
      partOf(this, "[data-part=told]"),
      html`<h1 tabindex="-1">Noted: ${name}</h1><p>It is due now: test it before first use.</p>`,
    );
    partOf(kept, "[data-part=test]", HTMLAnchorElement).href = `/round#rig=${rig.id}&at=set-${id}`;
    this.#form.hidden = true;
    kept.hidden = false;
    kept.querySelector("fl-saved")?.follow(id);
    window.scrollTo(0, 0);
    partOf(kept, "h1").focus({ preventScroll: true });
  }

  /** What a set is and how it is used is mostly as the one before; its number never is. */
  async #another() {
    const { type = "", hots = "", fixed = "" } = read(this.#form);
    this.#isKept = false;
    this.#form.reset();
    partOf(this, "[data-part=kept]").hidden = true;
    this.#form.hidden = false;
    this.#draft = { values: { type, hots, fixed }, account: await typist().catch(() => null) };
    await this.#findRig(this.#rig?.id ?? "");
    fill(this.#form, this.#draft.values);
    window.scrollTo(0, 0);
    partOf(this, "h1").focus({ preventScroll: true });
  }
}
