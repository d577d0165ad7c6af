import { dropDraft, leaveDraft, loadDraft, newDraft, saveDraft } from "../check/draft.js";

import { openRulebook } from "../check/engine.js";
import { questionAbout, textAt } from "../check/entries.js";
import { Outcome } from "../check/outcome.js";
import { problemsOf } from "../check/problems.js";
import { changeOutlet, enterScreen, leaveScreen, sayEarth, turnPicture } from "../check/screens.js";
import { allowedStep, PLAIN, shareGone, stepsFor } from "../check/steps.js";
import { said, showWhen } from "../check/when.js";
import { AfterPaint } from "../lib/after-paint.js";
import { clearProblem, fill, nextEmptyField, read, showProblems } from "../lib/fields.js";
import { partOf } from "../lib/part-of.js";
import { wayBack } from "../lib/way-back.js";
import { canBeReached } from "../sync/http.js";
import { isRulebookSettled } from "../sync/rulebook.js";

/** @import { Draft } from "../check/draft.js" */
/** @import { Values } from "../check/entries.js" */

/**
 * Leads through a check, one thing a screen. It wraps one form a step; where="pedestal" is the arrival check, "rig"
 * an outlet test.
 */
export class FlCheck extends HTMLElement {
  /** @type {Draft} */
  #draft = { values: {}, step: "", reached: "", saved: {} };
  #outcome = new Outcome(this, this.#draft);
  #isReady = false;
  page = "";
  #isFinished = false;
  #later = new AfterPaint();
  /** @type {object|null} the last tap that waited for the rulebook; only that one is heeded */
  #lastTap = null;

  async connectedCallback() {
    this.page = location.pathname.slice(1);
    this.#draft = await this.#resumed();
    if (!PLAIN.includes(this.#draft.reached)) await openRulebook();
    this.#outcome = new Outcome(this, this.#draft);
    this.#isReady = true;
    for (const type of ["submit", "click", "input", "keydown"]) this.addEventListener(type, this);
    for (const type of ["popstate", "pagehide"]) window.addEventListener(type, this);
    await this.#outcome.prepare();
    this.querySelector("[data-part=not-started]")?.remove();
    this.#show(this.#allowed(location.hash.slice(1) || this.#draft.step), "replace");
    new AfterPaint().wait(() => openRulebook().then(() => this.#again()));
  }

  disconnectedCallback() {
    for (const type of ["popstate", "pagehide"]) window.removeEventListener(type, this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    this.#later.catchUp();
    const { type, target } = event;
    if (type === "popstate") this.#show(this.#allowed(location.hash.slice(1)), "stay");
    else if (type === "pagehide") this.#left();
    else if (type === "submit") this.#submitted(event);
    else if (type === "click") this.#tapped(event, /** @type {Element} */ (target).closest("button, a"));
    else if (type === "input") this.#typedAt(/** @type {HTMLInputElement} */ (target));
    else if (target instanceof HTMLInputElement) this.#pressed(/** @type {KeyboardEvent} */ (event), target);
  }

  /** A link without a step starts anew once the last check was kept; one that is under way goes on. */
  async #resumed() {
    const draft = await loadDraft(this.page);
    return draft && (location.hash || !Object.keys(draft.saved).length) ? draft : newDraft();
  }

  get #steps() {
    return stepsFor(this.#draft.values, this.#outcome.situation());
  }

  /** @param {string} wanted */
  #allowed(wanted) {
    return allowedStep(this.#steps, wanted, this.#draft.reached || this.#draft.step);
  }

  get #form() {
    return partOf(this, `form[data-step="${this.#draft.step}"]`, HTMLFormElement);
  }

  /** @param {string} step @param {"push"|"replace"|"stay"} how */
  #show(step, how) {
    this.#draft.step = step;
    if (!this.#steps.includes(this.#draft.reached) || this.#isFurther(step)) this.#draft.reached = step;
    /** @type {NodeListOf<HTMLFormElement>} */
    const forms = this.querySelectorAll("form[data-step]");
    for (const form of forms) form.hidden = form.dataset.step !== step;
    fill(this.#form, /** @type {ReturnType<typeof read>} */ (this.#draft.values));
    showProblems(this.#form, {});
    const rest = this.#outcome.enter(step, this.#form);
    enterScreen(this.#form, this.#draft.values);
    this.#refresh();
    this.#place();
    // A keyboard opens only for a focus that comes with the tap.
    this.#first?.focus({ preventScroll: true });
    if (!rest) this.#persist();
    // The phone's Back may follow at once, so the entry is made now; only the verdict is seen before its entry.
    if (!rest) this.#enter(step, how);
    this.#later.wait(() => this.#settle(step, how, rest));
  }

  /** @param {string} step @param {"push"|"replace"|"stay"} how */
  #enter(step, how) {
    const depth = history.state?.depth ?? 0;
    if (how === "push") history.pushState({ depth: depth + 1 }, "", `#${step}`);
    if (how === "replace") history.replaceState({ depth }, "", `#${step}`);
  }

  /** What has the focus at once, where a screen names it. @returns {HTMLElement|null} */
  get #first() {
    return this.#form.querySelector("[data-first]");
  }

  /** @param {string} step @param {"push"|"replace"|"stay"} how @param {(() => void)|undefined} rest */
  #settle(step, how, rest) {
    if (!this.#first) partOf(this.#form, "h1").focus({ preventScroll: true });
    if (!rest) return;
    this.#enter(step, how);
    rest();
    this.#persist();
  }

  /** @param {string} step */
  #isFurther(step) {
    return this.#steps.indexOf(step) > this.#steps.indexOf(this.#draft.reached);
  }

  #refresh() {
    showWhen(this.#form, this.#draft.values);
    sayEarth(this.#form, this.#draft.values);
    /** @type {NodeListOf<HTMLElement>} */
    const questions = this.#form.querySelectorAll("[data-question]");
    for (const question of questions) {
      const name = question.dataset.question ?? "";
      const text = questionAbout(name, textAt(this.#draft.values, name)) ?? "";
      if (question.textContent !== text) question.textContent = text;
    }
  }

  /** Where in the check this is; what was gone of the way stays gone, though tests make it longer. */
  #place() {
    const steps = this.#steps;
    const at = steps.indexOf(this.#draft.step) + 1;
    this.#draft.far = Math.max(this.#draft.far ?? 0, shareGone(steps, this.#draft.step));
    const bar = partOf(this, "[data-part=progress]", HTMLProgressElement);
    bar.value = this.#draft.far;
    bar.setAttribute("aria-label", `Step ${at} of ${steps.length}`);
    window.scrollTo(0, 0);
  }

  /** After the rulebook has come, what depends on it is shown. */
  #again() {
    if (!this.#isReady) return;
    if (this.#draft.step === "verdict") this.#show("verdict", "stay");
    else this.#outcome.enter(this.#draft.step, this.#form);
  }

  #take() {
    const before = JSON.stringify(this.#draft.values);
    Object.assign(this.#draft.values, read(this.#form));
    if (JSON.stringify(this.#draft.values) !== before) this.#outcome.changed(this.#draft.step);
  }

  #persist() {
    if (!this.#isFinished) saveDraft(this.page, this.#draft).catch((error) => this.#outcome.notKept(error));
  }

  /** @param {Values} values what the button that was tapped says */
  #forward(values) {
    Object.assign(this.#draft.values, values);
    this.#withRules(() => {
      leaveScreen(this.#draft.step, this.#draft.values);
      this.#outcome.leave(this.#draft.step);
      const next = this.#outcome.after(this.#draft.step, this.#steps);
      if (next) this.#show(next, "push");
    });
  }

  /**
   * What may ask the engine is done when the rulebook is open, and never without it while it is only on its way.
   * @param {() => void} act
   */
  #withRules(act) {
    const { step } = this.#draft;
    if (isRulebookSettled() || ["where", "outlet"].includes(step)) return act();
    const form = this.#form;
    const tap = {};
    this.#lastTap = tap;
    form.ariaBusy = "true";
    openRulebook().then(() => {
      form.ariaBusy = null;
      if (this.#lastTap === tap && this.#draft.step === step) act();
    });
  }

  /** @param {Event} event */
  #submitted(event) {
    event.preventDefault();
    this.#take();
    if (this.#isWrong()) this.#persist();
    else this.#forward(said(this.#next?.dataset.says));
  }

  /** Shows what is wrong with the screen, if anything is. */
  #isWrong() {
    const problems = problemsOf(this.#form);
    showProblems(this.#form, problems);
    return Object.keys(problems).length > 0;
  }

  /** @returns {HTMLElement|null} */
  get #next() {
    return this.#form.querySelector("[data-next]");
  }

  /** @param {HTMLInputElement} field */
  #typedAt({ name }) {
    this.#take();
    if (name) this.#draft.values[`${name}.skipped`] = "";
    clearProblem(this.#form, name);
    if (name === "outlet" && this.#draft.step === "quick") this.#chosen();
    this.#refresh();
    this.#persist();
  }

  /**
   * Enter goes to the next empty field of the screen, then on.
   * @param {KeyboardEvent} event
   * @param {HTMLInputElement} field
   */
  #pressed(event, field) {
    if (event.key !== "Enter") return;
    const next = nextEmptyField(this.#form, field);
    if (!next) return;
    event.preventDefault();
    next.focus();
  }

  /** @param {Event} event @param {HTMLElement|null} button */
  #tapped(event, button) {
    if (!button) return;
    if ("back" in button.dataset) this.#back();
    if ("skip" in button.dataset) this.#skip(button);
    if ("fill" in button.dataset) this.#fillIn(button);
    if ("goto" in button.dataset) this.#jump(button);
    if ("add" in button.dataset) this.#test(button);
    if ("turn" in button.dataset) this.#turn();
    if ("anew" in button.dataset) this.#anew();
    if ("finish" in button.dataset) this.#finish(event, /** @type {HTMLAnchorElement} */ (button));
  }

  #back() {
    this.#take();
    if (history.state?.depth > 0) return history.back();
    const before = this.#steps[this.#steps.indexOf(this.#draft.step) - 1];
    if (before) this.#show(before, "replace");
    else location.assign("/");
  }

  /** @param {HTMLElement} button */
  #skip(button) {
    this.#take();
    this.#forward(said(button.dataset.says));
  }

  /** @param {HTMLElement} button */
  #fillIn(button) {
    /** @type {HTMLElement|null} */
    const group = button.closest("[data-for]");
    const field = this.#form.elements.namedItem(group?.dataset.for ?? "");
    if (!(field instanceof HTMLInputElement)) return;
    field.value = button.dataset.fill ?? "";
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  /** @param {HTMLElement} button */
  #jump(button) {
    this.#take();
    if ("quick" in button.dataset && this.#isWrong()) return;
    const { goto = "" } = button.dataset;
    Object.assign(this.#draft.values, said(button.dataset.says));
    this.#withRules(() => {
      leaveScreen(this.#draft.step, this.#draft.values);
      this.#outcome.leave(this.#draft.step);
      if (this.#steps.includes(goto)) this.#show(goto, "push");
    });
  }

  /** Opens the screens of a test; its answer joins this check. @param {HTMLElement} button */
  #test(button) {
    this.#take();
    this.#show(this.#outcome.open(button.dataset.add ?? ""), "push");
  }

  /** What was typed at other contacts goes from the screen too. */
  #chosen() {
    changeOutlet(this.#form, this.#draft.values);
    fill(this.#form, /** @type {ReturnType<typeof read>} */ (this.#draft.values));
  }

  #turn() {
    turnPicture(this.#form, this.#draft.values);
    this.#persist();
  }

  async #anew() {
    this.#draft = await newDraft();
    this.#outcome = new Outcome(this, this.#draft);
    await this.#outcome.prepare();
    this.#show(this.#steps[0] ?? "", "replace");
  }

  /** @param {Event} event @param {HTMLAnchorElement} link */
  async #finish(event, link) {
    event.preventDefault();
    if (!(await canBeReached(link.href))) {
      link.textContent = "Kept on this phone. No way to the server now: tap again later";
      return;
    }
    this.#isFinished = true;
    await dropDraft(this.page, this.#draft).catch((error) => console.warn("The draft stays.", error));
    location.assign(wayBack() ?? link.href);
  }

  #left() {
    if (!this.#isFinished) leaveDraft(this.page, this.#draft);
  }

  /** Keeps the draft after records were kept or refused. */
  settled() {
    this.#persist();
  }
}
