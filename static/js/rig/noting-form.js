// A form that notes something of a rig: which rig it is, the draft of what was typed, and its keeping.
import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { record } from "../check/log-record.js";
import { madeBy } from "../check/saving.js";
import { clearProblem, read } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { newestRows } from "../outbox/newest.js";
import { keep } from "../outbox/queue.js";
import { sync } from "../sync/flush.js";
import { rigsOf } from "./rig-of.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { DraftOwner } from "../check/draft.js" */
/** @import { Rig } from "./rig-of.js" */

const NO_RIG = "This phone knows no rig, so it cannot be kept here. Note the rig under Rigs, then come back.";

/** What the element of such a page holds; its parts are the form, rigs, rig, back and kept. */
export class NotingForm {
  /** @type {Rig[]} */
  rigs = [];
  /** @type {Rig|null} */
  rig = null;
  /** @type {DraftOwner & {values: Record<string, string|string[]>}} */
  draft = { values: {} };
  isKept = false;
  #host;
  #page;

  /** @param {HTMLElement} host @param {string} page under which its draft is kept */
  constructor(host, page) {
    this.#host = host;
    this.#page = page;
  }

  get form() {
    return partOf(this.#host, "form", HTMLFormElement);
  }

  /** Takes up what was typed before. */
  async open() {
    this.draft = (await loadDraft(this.#page)) ?? (await this.#fresh());
  }

  /** @param {Record<string, string|string[]>} values to begin the next one with */
  async begin(values) {
    this.isKept = false;
    this.draft = { ...(await this.#fresh()), values };
  }

  /** What is not on the phone yet may be on the server. @param {string} wanted */
  async findRig(wanted) {
    this.rigs = rigsOf(await newestRows().catch(() => []));
    if (!this.rigs.length)
      this.rigs = await sync()
        .then(newestRows)
        .then(rigsOf, () => []);
    const [only] = this.rigs;
    this.rig = this.rigs.find(({ id }) => id === wanted) ?? (this.rigs.length === 1 && only ? only : null);
    this.#showRigs();
  }

  /** @param {string} sentence @returns {Record<string, string>} that where no rig was chosen */
  rigProblem(sentence) {
    return this.rig || !this.rigs.length ? {} : { rig: sentence };
  }

  /** @param {HTMLInputElement} target */
  noteTyped(target) {
    this.draft.values = read(this.form);
    clearProblem(this.form, target.name);
  }

  saveDraft() {
    saveDraft(this.#page, this.draft).catch((error) => console.error(error));
  }

  leave() {
    if (!this.isKept && Object.values(this.draft.values).some(Boolean)) leaveDraft(this.#page, this.draft);
  }

  /**
   * @param {{kind: LogRecord["kind"], rig: string, subject?: string|null, body: object}} members
   * @returns {Promise<string|null>} the id of the record; null where the phone could not keep it, which is said
   */
  async keep(members) {
    this.isKept = true;
    const id = uuid7();
    try {
      const made = { id, observed_at: localIso(new Date()), made_by: await madeBy() };
      await keep(record({ ...members, ...made }), this.draft.account);
    } catch (error) {
      console.error(error);
      this.isKept = false;
      const place = this.form.querySelector("fl-saved");
      if (!place) return null;
      place.hidden = false;
      place.fail(/** @type {Error} */ (error), () => this.form.requestSubmit());
      return null;
    }
    await dropDraft(this.#page, this.draft).catch((error) => console.error(error));
    return id;
  }

  /** Shows what stands in place of the form once it is kept. @param {string} id @returns {HTMLElement} */
  showKept(id) {
    const kept = partOf(this.#host, "[data-part=kept]");
    this.form.hidden = true;
    kept.hidden = false;
    kept.querySelector("fl-saved")?.follow(id);
    window.scrollTo(0, 0);
    partOf(kept, "h1").focus({ preventScroll: true });
    return kept;
  }

  async #fresh() {
    return { values: {}, account: await typist().catch(() => null) };
  }

  #showRigs() {
    const place = partOf(this.#host, "[data-part=rigs]");
    place.hidden = this.rigs.length === 1;
    show(
      place,
      this.rigs.length
        ? html`<fieldset class="field choices choices--lines" aria-describedby="rig-problem"><legend>Which rig?</legend>
          <div class="choices__options">${this.rigs.map(({ id, name }) => choice("rig", id, name))}</div>
          <p class="problem" id="rig-problem" data-problem="rig" hidden></p></fieldset>`
        : html`<p class="notice">${NO_RIG} <a class="button button--quiet" href="/rigs">Rigs</a></p>`,
    );
    partOf(this.#host, "[data-part=rig]").textContent = this.rig ? `: ${this.rig.name}` : "";
    if (this.rig) partOf(this.#host, "[data-part=back]", HTMLAnchorElement).href = `/round#rig=${this.rig.id}`;
  }
}

/** @param {string} name @param {string} value @param {string} label */
export const choice = (name, value, label) =>
  html`<label class="choice"><input type="radio" name="${name}" value="${value}"><span
    class="choice__label">${label}</span></label>`;
