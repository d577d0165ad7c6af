import { leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { record } from "../check/record.js";
import { madeBy } from "../check/saving.js";
import { keyOf } from "../engine/proving.js";
import { clearProblem, read, showProblems } from "../lib/fields.js";
import { show } from "../lib/html.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { allRows, changes, keep } from "../outbox/queue.js";
import { missingFor, nextStep } from "../rig/proving.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";
import { rulebook } from "../sync/rulebook.js";
import { noted, notedOver, notedSkip } from "./noting.js";
import { wayTo } from "./overview.js";
import { furnish, screen } from "./screens.js";

/** What an absent table of steps is answered with. */
export const NO_RULES = "The steps of a proof are not on this phone yet. Open this page once with a signal.";

/**
 * Proofs as a list, or the step that the address names. What extends it says what they are about: ownPage, subject,
 * progressIn, listMarkup, listActions, absentMarkup.
 */
export class Stepwise extends HTMLElement {
  /** @type {import("../rig/proving.js").Progress|null} */
  #progress = null;
  /** @type {import("../engine/proving.js").Step|null} the one on screen */
  #step = null;
  /** @type {{values: Record<string, import("./screens.js").Typed>}} what was typed and not kept yet, by step */
  #draft = { values: {} };
  #isKeeping = false;
  #reading = Promise.resolve();
  #shown = "";

  async connectedCallback() {
    for (const type of ["submit", "click", "input", "keydown"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide", "pageshow"]) window.addEventListener(type, this);
    changes.addEventListener("changed", this);
    await this.#begin();
  }

  /** Reads what the address names; what it lacks may be on the server. */
  async #begin() {
    this.page = this.ownPage;
    this.#draft = (await loadDraft(this.page)) ?? { values: {}, account: await typist().catch(() => null) };
    await this.#learn();
    if (!this.#progress) await sync().then(() => this.#learn());
    this.#arrive();
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide", "pageshow"]) window.removeEventListener(type, this);
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.target instanceof Element && event.target.closest("fl-photos")) return;
    this[`on${event.type}`](event);
  }

  /** How far it is at this moment. */
  get #atNow() {
    return { ...this.#progress, now: Date.now() };
  }

  /** Reads the rows once more, one reading after the other, so that none brings back what was before. */
  #learn() {
    this.#reading = this.#reading
      .catch(() => null) // who asked for it was told
      .then(async () => {
        this.rules = await rigRules();
        this.#progress = this.progressIn(await allRows(), this.rules);
        this.#step = this.#find(this.#step && keyOf(this.#step));
      });
    return this.#reading;
  }

  /** @param {string|null} key @returns {import("../engine/proving.js").Step|null} */
  #find(key) {
    const extra = [...(this.#progress?.rules.values() ?? [])]
      .filter(({ optional }) => optional)
      .map(({ id }) => ({ rule: id, part: null, pair: null }));
    return [...(this.#progress?.steps ?? []), ...extra].find((step) => keyOf(step) === key) ?? null;
  }

  onhashchange() {
    return this.page === this.ownPage ? this.#arrive() : this.#begin();
  }

  #arrive() {
    this.#step = this.#find(new URLSearchParams(location.hash.slice(1)).get("at"));
    this.#show();
    window.scrollTo(0, 0);
    this.querySelector("h1")?.focus({ preventScroll: true });
  }

  /** What came from elsewhere is shown; nothing moves under someone who types. */
  async onchanged() {
    await this.#learn();
    const isTyping = this.#form?.contains(document.activeElement) && document.activeElement.type === "text";
    if (!isTyping && this.#shown !== this.#sign()) this.#show();
  }

  async onpageshow({ persisted }) {
    if (persisted) await this.onchanged();
  }

  onpagehide() {
    leaveDraft(this.page, this.#draft);
  }

  /** What the screen hangs on, in short. */
  #sign() {
    const { states, newest, rig, rules } = this.#progress ?? {};
    const judgedBy = this.#step && rules?.get(this.#step.rule).record && rulebook()?.id;
    return JSON.stringify(
      this.#progress && [
        ...states,
        ...[...newest.values()].map(({ id }) => id),
        rig.newest("outlet-test").length,
        rig.newest("trip-test").length,
        rig.newest("rig-map").length,
        judgedBy,
      ],
    );
  }

  #show() {
    this.#shown = this.#sign();
    const isList = Boolean(this.#progress) && !this.#step;
    const [page, below, actions] = ["page", "below", "actions"].map((name) =>
      this.querySelector(`:scope > [data-part=${name}]`),
    );
    this.querySelector("fl-photos").about(isList ? this.subject : null);
    below.hidden = actions.hidden = !isList;
    if (!this.#progress) return show(page, this.absentMarkup());
    show(page, isList ? this.listMarkup(this.#atNow) : screen(this.#atNow, this.#step));
    if (!isList) return furnish(this, this.#progress, this.#step, this.#typed);
    show(actions, this.listActions(this.#progress));
    const last = [...this.#progress.newest.values()]
      .map(({ record: { id } }) => id)
      .sort()
      .at(-1);
    const followed = last ?? this.#progress.change?.record.id;
    return followed && this.querySelector("fl-saved").follow(followed);
  }

  get #form() {
    return this.querySelector("form.step");
  }

  get #typed() {
    return this.#draft.values[keyOf(this.#step)] ?? {};
  }

  oninput({ target }) {
    if (!this.#step) return;
    this.#draft.values[keyOf(this.#step)] = read(this.#form);
    clearProblem(this.#form, target.name);
    this.#persist();
  }

  #persist() {
    return saveDraft(this.page, this.#draft).catch((error) => console.error(error));
  }

  onsubmit(event) {
    event.preventDefault();
    const outcome = event.submitter?.dataset.outcome;
    if (missingFor(this.#atNow, this.#step)) return this.#show();
    return this.#note(noted(this.#progress, this.#step, { typed: this.#typed, outcome }));
  }

  /** Enter notes a reading; nothing else is noted but by a tap. */
  onkeydown(event) {
    const isReading = event.target.name === "value" && !this.#form?.querySelector("[data-outcome]");
    if (event.key === "Enter" && event.target.localName === "input" && !isReading) event.preventDefault();
  }

  onclick({ target }) {
    const button = target.closest("button");
    if (!button || !this.#step) return;
    if ("skip" in button.dataset) this.#note(notedSkip(this.#step, this.#typed));
    if ("over" in button.dataset) this.#noteOver();
  }

  #noteOver() {
    if (missingFor(this.#atNow, this.#step)) return this.#show();
    return this.#note(notedOver(this.#progress.rules.get(this.#step.rule), this.#step));
  }

  /** @param {import("./noting.js").Noting} noting */
  async #note({ body, problems }) {
    showProblems(this.#form, problems ?? {});
    if (!body || this.#isKeeping) return;
    this.#isKeeping = true;
    await this.#keep(this.#step, body).finally(() => {
      this.#isKeeping = false;
    });
  }

  async #keep(step, body) {
    const { rig, change } = this.#progress;
    try {
      await keep(
        record({
          id: uuid7(),
          kind: "proof",
          rig: rig.id,
          subject: change?.id ?? null,
          observed_at: localIso(new Date()),
          made_by: await madeBy(),
          body,
        }),
        this.#draft.account,
      );
    } catch (error) {
      console.error(error);
      const place = this.#form.querySelector("fl-saved");
      place.hidden = false;
      return place.fail(error, () => this.#note({ body }));
    }
    delete this.#draft.values[keyOf(step)];
    await this.#persist();
    await this.#learn();
    sync();
    return this.#onwards(step, body.outcome);
  }

  /** Never on past a bad one. */
  #onwards(step, outcome) {
    const next = nextStep(this.#progress);
    if (!this.#step || keyOf(this.#step) !== keyOf(step)) return;
    const way =
      next && !this.#progress.rules.get(step.rule).optional ? wayTo(this.#progress, next) : `#${this.#progress.place}`;
    if (outcome === "bad" || way === location.hash) this.onhashchange();
    else location.hash = way;
  }
}
