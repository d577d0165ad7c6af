import { leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { record } from "../check/log-record.js";
import { madeBy } from "../check/saving.js";
import { keyOf } from "../engine/proving.js";
import { clearProblem, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { allRows, changes, keep } from "../outbox/queue.js";
import { missingFor, nextStep, ruleOf } from "../rig/proving.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";
import { rulebook } from "../sync/rulebook.js";
import { asksValue, noted, notedOver, notedSkip } from "./noting.js";
import { wayTo } from "./overview.js";
import { furnish, screen } from "./screens.js";

/** @import { RigRules } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { BodyProof } from "../../../schemas/shapes/record.d.ts" */
/** @import { DraftOwner } from "../check/draft.js" */
/** @import { Step } from "../engine/proving.js" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { NotingOutcome, Outcome } from "./noting.js" */
/** @import { StepEntries } from "./screens.js" */

/** @typedef {ReturnType<typeof html>} Markup */
/** @typedef {DraftOwner & {values: Record<string, StepEntries>}} Draft what was typed and not kept yet, by step */

/** What an absent table of steps is answered with. */
export const NO_RULES = "The steps of a proof are not on this phone yet. Open this page once with a signal.";

/**
 * Proofs as a list, or the step that the address names. What extends it says what they are about.
 * @abstract
 */
export class Stepwise extends HTMLElement {
  /** @type {Progress|null} */
  #progress = null;
  /** @type {Step|null} the one on screen */
  #step = null;
  /** @type {Draft} */
  #draft = { values: {} };
  #isKeeping = false;
  /** @type {Promise<unknown>} */
  #reading = Promise.resolve();
  #shown = "";
  /** @type {"beginning"|"awaiting"|"there"} whether what the address names was shown yet, or waits for the server */
  #stage = "beginning";
  page = "";
  /** @type {RigRules|null} */
  rules = null;

  /** @returns {string} the name of its draft */
  get ownPage() {
    return "";
  }

  /** @returns {string|null} the record that the proofs are about */
  get subject() {
    return null;
  }

  /** @param {Row[]} _rows in order @param {RigRules|null} _rules @returns {Progress|null} */
  progressIn(_rows, _rules) {
    return null;
  }

  /** @param {Progress} _progress @returns {Markup} */
  listMarkup(_progress) {
    return this.absentMarkup();
  }

  /** @param {Progress} _progress @returns {Markup} */
  listActions(_progress) {
    return this.absentMarkup();
  }

  /** @returns {Markup} what is said where there is nothing to show */
  absentMarkup() {
    return html``;
  }

  async connectedCallback() {
    for (const type of ["submit", "click", "input", "keydown"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide", "pageshow"]) window.addEventListener(type, this);
    changes.addEventListener("changed", this);
    await this.#begin();
  }

  /** Reads what the address names; what it lacks may be on the server. */
  async #begin() {
    this.#stage = "beginning";
    this.page = this.ownPage;
    this.#draft = (await loadDraft(this.page)) ?? { values: {}, account: await typist().catch(() => null) };
    await this.#learn();
    if (!this.#progress) {
      this.#stage = "awaiting";
      await sync().then(() => this.#learn());
      return this.#arriveUnlessThere();
    }
    this.#arrive();
  }

  #arriveUnlessThere() {
    if (this.#stage !== "there") this.#arrive();
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide", "pageshow"]) window.removeEventListener(type, this);
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.target instanceof Element && event.target.closest("fl-photos")) return;
    if (event.type === "input") this.#typedAt(event);
    else if (event.type === "submit") this.#submitted(/** @type {SubmitEvent} */ (event));
    else if (event instanceof KeyboardEvent) this.#pressed(event);
    else if (event.type === "click") this.#tapped(event);
    else if (event.type === "hashchange") this.#moved();
    else if (event.type === "pagehide") leaveDraft(this.page, this.#draft);
    else if (event.type === "changed" || (event instanceof PageTransitionEvent && event.persisted)) this.onchanged();
  }

  /** How far it is at this moment. @returns {Progress|null} */
  get #atNow() {
    return this.#progress && { ...this.#progress, now: Date.now() };
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

  #moved() {
    return this.page === this.ownPage ? this.#arrive() : this.#begin();
  }

  #arrive() {
    this.#stage = "there";
    this.#step = this.#find(new URLSearchParams(location.hash.slice(1)).get("at"));
    this.#show();
    window.scrollTo(0, 0);
    this.querySelector("h1")?.focus({ preventScroll: true });
  }

  /**
   * What came from elsewhere is shown; nothing moves under someone who types. What is being noted here is shown once
   * that is done: before, a tap for the next would not count.
   */
  async onchanged() {
    if (this.#stage === "beginning") return; // it reads the rows itself
    await this.#learn();
    if (this.#stage === "awaiting") return this.#progress ? this.#arrive() : undefined;
    const field = document.activeElement;
    const isTyping = field instanceof HTMLInputElement && field.type === "text" && this.#form?.contains(field);
    if (!isTyping && !this.#isKeeping && this.#shown !== this.#sign()) this.#showAnew();
  }

  /** Whatever was unfolded stays so. */
  #showAnew() {
    const wereOpen = [...this.querySelectorAll("details")].map(({ open }) => open);
    this.#show();
    const folds = [...this.querySelectorAll("details")];
    if (folds.length !== wereOpen.length) return;
    for (const [i, fold] of folds.entries()) fold.open = wereOpen[i] ?? false;
  }

  /** What the screen hangs on, in short. */
  #sign() {
    if (!this.#progress) return "";
    const { states, newest, rig } = this.#progress;
    const judgedBy = this.#step && ruleOf(this.#progress, this.#step).record && rulebook()?.id;
    return JSON.stringify([
      ...states,
      ...[...newest.values()].map(({ id }) => id),
      rig.newest("outlet-test").length,
      rig.newest("trip-test").length,
      rig.newest("rig-map").length,
      judgedBy,
    ]);
  }

  #show() {
    this.#shown = this.#sign();
    const progress = this.#atNow;
    const isList = progress !== null && !this.#step;
    const page = this.#own("page");
    const actions = this.#own("actions");
    this.querySelector("fl-photos")?.about(isList ? this.subject : null);
    this.#own("below").hidden = actions.hidden = !isList;
    if (!progress) return show(page, this.absentMarkup());
    if (this.#step) {
      show(page, screen(progress, this.#step));
      return furnish(this, progress, this.#step, this.#typed);
    }
    show(page, this.listMarkup(progress));
    show(actions, this.listActions(progress));
    const last = [...progress.newest.values()]
      .map(({ record: { id } }) => id)
      .sort()
      .at(-1);
    const followed = last ?? progress.change?.record.id;
    if (followed) this.querySelector("fl-saved")?.follow(followed);
  }

  /** @param {string} name of a part that is there from the start */
  #own(name) {
    return partOf(this, `:scope > [data-part=${name}]`);
  }

  /** @returns {HTMLFormElement|null} */
  get #form() {
    return this.querySelector("form.step");
  }

  /** @returns {StepEntries} */
  get #typed() {
    return (this.#step && this.#draft.values[keyOf(this.#step)]) ?? {};
  }

  /** @param {Event} event */
  #typedAt({ target }) {
    if (!this.#step || !this.#form) return;
    this.#draft.values[keyOf(this.#step)] = /** @type {StepEntries} */ (read(this.#form)); // it has no checkboxes
    clearProblem(this.#form, /** @type {HTMLInputElement} */ (target).name);
    this.#persist();
  }

  #persist() {
    return saveDraft(this.page, this.#draft).catch((error) => console.error(error));
  }

  /** @param {SubmitEvent} event */
  #submitted(event) {
    event.preventDefault();
    const progress = this.#atNow;
    if (!progress || !this.#step) return;
    const outcome = /** @type {Outcome|undefined} */ (event.submitter?.dataset.outcome);
    if (missingFor(progress, this.#step)) this.#show();
    else this.#note(noted(progress, this.#step, { typed: this.#typed, outcome }));
  }

  /** Enter notes a reading; nothing else is noted but by a tap. @param {KeyboardEvent} event */
  #pressed(event) {
    const field = event.target instanceof HTMLInputElement ? event.target : null;
    const isReading = field?.name === "value" && !this.#form?.querySelector("[data-outcome]");
    if (event.key === "Enter" && field && !isReading) event.preventDefault();
  }

  /** @param {Event} event */
  #tapped({ target }) {
    const button = /** @type {Element} */ (target).closest("button");
    if (!button || !this.#step) return;
    if ("skip" in button.dataset) this.#note(notedSkip(this.#step, this.#typed));
    if ("over" in button.dataset) this.#noteOver();
  }

  #noteOver() {
    const progress = this.#atNow;
    if (!progress || !this.#step) return;
    const rule = ruleOf(progress, this.#step);
    if (missingFor(progress, this.#step)) this.#show();
    else if (asksValue(rule)) this.#note(notedOver(rule, this.#step));
  }

  /** @param {import("./noting.js").NotingOutcome} noting */
  async #note({ body, problems }) {
    if (this.#form) showProblems(this.#form, problems ?? {});
    if (!body || !this.#step || this.#isKeeping) return;
    this.#isKeeping = true;
    await this.#keep(this.#step, body).finally(() => {
      this.#isKeeping = false;
    });
  }

  /** @param {Step} step @param {BodyProof} body */
  async #keep(step, body) {
    try {
      await keep(
        record({
          id: uuid7(),
          kind: "proof",
          rig: this.#progress?.rig.id,
          subject: this.#progress?.change?.id ?? null,
          observed_at: localIso(new Date()),
          made_by: await madeBy(),
          body,
        }),
        this.#draft.account,
      );
    } catch (error) {
      console.error(error);
      const place = this.#form?.querySelector("fl-saved");
      if (!place) return;
      place.hidden = false;
      return place.fail(/** @type {Error} */ (error), () => this.#note({ body }));
    }
    delete this.#draft.values[keyOf(step)];
    await this.#persist();
    await this.#learn();
    sync();
    return this.#onwards(step, body.outcome);
  }

  /** Never on past a bad one. @param {Step} step @param {Outcome} outcome */
  #onwards(step, outcome) {
    const progress = this.#progress;
    if (!progress || !this.#step || keyOf(this.#step) !== keyOf(step)) return;
    const next = nextStep(progress);
    const way = next && !ruleOf(progress, step).optional ? wayTo(progress, next) : `#${progress.place}`;
    if (outcome === "bad" || way === location.hash) this.#moved();
    else location.hash = way;
  }
}
