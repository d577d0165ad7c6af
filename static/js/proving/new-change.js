import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { record } from "../check/log-record.js";
import { problemsOf } from "../check/problems.js";
import { madeBy } from "../check/saving.js";
import { clearProblem, fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { newestRows } from "../outbox/newest.js";
import { keep } from "../outbox/queue.js";
import { mapOf } from "../rig/map-of.js";
import { rigsOf } from "../rig/rig-of.js";
import { kindOf, nameOf } from "../rig/words.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";

/** @import { RigPart } from "../../../schemas/shapes/record.d.ts" */
/** @import { DraftOwner } from "../check/draft.js" */
/** @import { Rig } from "../rig/rig-of.js" */

/** Notes what was changed on a rig; its form stands in the page. */
export class FlNewChange extends HTMLElement {
  /** @type {Rig|null} */
  #rig = null;
  /** @type {DraftOwner & {values: ReturnType<typeof read>}} */
  #draft = { values: {} };
  #isKept = false;

  async connectedCallback() {
    for (const type of ["submit", "input"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide"]) window.addEventListener(type, this);
    rigRules(); // what the next page needs
    await this.#arrive();
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide"]) window.removeEventListener(type, this);
  }

  /** @param {Event} event @returns {unknown} */
  handleEvent(event) {
    if (event.type === "input") return this.#typedAt(event);
    if (event.type === "submit") return this.#submitted(event);
    return event.type === "hashchange" ? this.#arrive() : this.#leave();
  }

  get #form() {
    return partOf(this, "form", HTMLFormElement);
  }

  get #page() {
    return `changes/new-${this.#rig?.id}`;
  }

  async #arrive() {
    const wanted = new URLSearchParams(location.hash.slice(1)).get("rig");
    const rigs = await this.#rigs(wanted);
    this.#rig = (wanted || rigs.length !== 1 ? rigs.find(({ id }) => id === wanted) : rigs[0]) ?? null;
    this.#form.hidden = !this.#rig;
    partOf(this, "[data-part=rigs]").hidden = Boolean(this.#rig);
    if (!this.#rig)
      return show(
        partOf(this, "[data-part=choice]"),
        html`<ul class="due">${rigs.map(
          ({ id, name }) => html`<li><a class="due-card" href="#rig=${id}"><b>${name}</b></a></li>`,
        )}</ul>`,
      );
    partOf(this, "[data-part=rig]").textContent = this.#rig.name;
    partOf(this, "[data-part=back]", HTMLAnchorElement).href = `/rigs/${this.#rig.id}`;
    show(partOf(this, "[data-part=parts]"), html`${mapOf(this.#rig).map.parts.map(tick)}`);
    this.#draft = (await loadDraft(this.#page)) ?? { values: {}, account: await typist().catch(() => null) };
    fill(this.#form, this.#draft.values);
    return partOf(this.#form, "h1").focus({ preventScroll: true });
  }

  /** @param {string|null} wanted */
  async #rigs(wanted) {
    const known = rigsOf(await newestRows());
    return (wanted ? known.some(({ id }) => id === wanted) : known.length)
      ? known
      : sync().then(newestRows).then(rigsOf);
  }

  /** @param {Event} event */
  #typedAt({ target }) {
    this.#draft.values = read(this.#form);
    clearProblem(this.#form, /** @type {HTMLInputElement} */ (target).name);
    saveDraft(this.#page, this.#draft).catch((error) => console.error(error));
  }

  #leave() {
    if (this.#rig && !this.#isKept) leaveDraft(this.#page, this.#draft);
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const { parts = [], ...texts } = read(this.#form);
    const problems = {
      ...(parts.length ? {} : { parts: "Choose the parts that were changed." }),
      ...problemsOf(this.#form),
    };
    showProblems(this.#form, problems);
    if (Object.keys(problems).length || this.#isKept) return;
    await this.#keep({
      ...Object.fromEntries(Object.entries(texts).map(([name, text]) => [name, String(text).trim()])),
      parts,
    });
  }

  /** @param {Record<string, unknown>} told */
  async #keep(told) {
    if (!this.#rig) return;
    this.#isKept = true;
    const id = uuid7();
    try {
      const body = { ...told, map: mapOf(this.#rig).drawn?.record.id ?? null };
      await keep(
        record({
          id,
          kind: "change",
          rig: this.#rig.id,
          observed_at: localIso(new Date()),
          made_by: await madeBy(),
          body,
        }),
        this.#draft.account,
      );
    } catch (error) {
      console.error(error);
      this.#isKept = false;
      const place = this.querySelector("fl-saved");
      if (!place) return;
      place.hidden = false;
      return place.fail(/** @type {Error} */ (error), () => this.#form.requestSubmit());
    }
    await dropDraft(this.#page, this.#draft).catch((error) => console.error(error));
    return location.replace(`/changes/${id}`);
  }
}

/** @param {RigPart} part */
const tick = (part) =>
  html`<label class="choice choice--tick"><input type="checkbox" name="parts" value="${part.id}"
    aria-describedby="parts-problem"><span
      class="choice__label">${nameOf(part)}<br><small>${kindOf(part)}</small></span></label>`;
