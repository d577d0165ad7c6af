import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { problemsOf } from "../check/problems.js";
import { record } from "../check/record.js";
import { madeBy } from "../check/saving.js";
import { clearProblem, fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { allRows, keep } from "../outbox/queue.js";
import { mapOf } from "../rig/map-of.js";
import { rigsOf } from "../rig/rig-of.js";
import { kindOf, nameOf } from "../rig/words.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";

/** Notes what was changed on a rig; its form stands in the page. */
export class FlNewChange extends HTMLElement {
  /** @type {import("../rig/rig-of.js").Rig|null} */
  #rig = null;
  #draft = { values: {} };
  #isKept = false;

  async connectedCallback() {
    for (const type of ["submit", "input"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide"]) window.addEventListener(type, this);
    rigRules(); // what the next page needs
    await this.onhashchange();
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide"]) window.removeEventListener(type, this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    return this[`on${event.type}`](event);
  }

  get #form() {
    return this.querySelector("form");
  }

  get #page() {
    return `changes/new-${this.#rig.id}`;
  }

  async onhashchange() {
    const wanted = new URLSearchParams(location.hash.slice(1)).get("rig");
    const rigs = await this.#rigs(wanted);
    this.#rig = (wanted || rigs.length !== 1 ? rigs.find(({ id }) => id === wanted) : rigs[0]) ?? null;
    this.#form.hidden = !this.#rig;
    this.querySelector("[data-part=rigs]").hidden = Boolean(this.#rig);
    if (!this.#rig)
      return show(
        this.querySelector("[data-part=choice]"),
        html`<ul class="due">${rigs.map(
          ({ id, name }) => html`<li><a class="due-card" href="#rig=${id}"><b>${name}</b></a></li>`,
        )}</ul>`,
      );
    this.querySelector("[data-part=rig]").textContent = this.#rig.name;
    this.querySelector("[data-part=back]").href = `/rigs/${this.#rig.id}`;
    show(this.querySelector("[data-part=parts]"), html`${mapOf(this.#rig).map.parts.map(tick)}`);
    this.#draft = (await loadDraft(this.#page)) ?? { values: {}, account: await typist().catch(() => null) };
    fill(this.#form, this.#draft.values);
    return this.#form.querySelector("h1").focus({ preventScroll: true });
  }

  async #rigs(wanted) {
    const known = rigsOf(await allRows());
    return (wanted ? known.some(({ id }) => id === wanted) : known.length) ? known : sync().then(allRows).then(rigsOf);
  }

  oninput({ target }) {
    this.#draft.values = read(this.#form);
    clearProblem(this.#form, target.name);
    saveDraft(this.#page, this.#draft).catch((error) => console.error(error));
  }

  onpagehide() {
    if (this.#rig && !this.#isKept) leaveDraft(this.#page, this.#draft);
  }

  async onsubmit(event) {
    event.preventDefault();
    const { parts = [], ...texts } = read(this.#form);
    const problems = {
      ...(parts.length ? {} : { parts: "Choose the parts that were changed." }),
      ...problemsOf(this.#form),
    };
    showProblems(this.#form, problems);
    if (Object.keys(problems).length || this.#isKept) return;
    await this.#keep({
      ...Object.fromEntries(Object.entries(texts).map(([name, text]) => [name, text.trim()])),
      parts,
    });
  }

  async #keep(told) {
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
      place.hidden = false;
      return place.fail(error, () => this.#form.requestSubmit());
    }
    await dropDraft(this.#page, this.#draft).catch((error) => console.error(error));
    return location.replace(`/changes/${id}`);
  }
}

const tick = (part) =>
  html`<label class="choice choice--tick"><input type="checkbox" name="parts" value="${part.id}"
    aria-describedby="parts-problem"><span
      class="choice__label">${nameOf(part)}<br><small>${kindOf(part)}</small></span></label>`;
