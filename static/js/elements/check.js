import { dropDraft, leaveDraft, loadDraft, newDraft, saveDraft } from "../check/draft.js";
import { openRulebook } from "../check/engine.js";
import { questionAbout } from "../check/entries.js";
import { Outcome } from "../check/outcome.js";
import { problemsOf } from "../check/problems.js";
import { allowedStep, PLAIN, stepsFor } from "../check/steps.js";
import { said, showWhen } from "../check/when.js";
import { AfterPaint } from "../lib/after-paint.js";
import { clearProblem, fill, nextEmptyField, read, showProblems } from "../lib/fields.js";
import { wayBack } from "../lib/way-back.js";
import { canBeReached } from "../sync/http.js";
import { isRulebookSettled } from "../sync/rulebook.js";

/**
 * Leads through a check, one thing a screen. It wraps one form a step; where="pedestal" is the arrival check, "rig"
 * an outlet test.
 */
export class FlCheck extends HTMLElement {
  /** @type {import("../check/draft.js").Draft} */
  #draft = null;
  /** @type {Outcome} */
  #outcome = null;
  #isFinished = false;
  #later = new AfterPaint();
  /** @type {object|null} the last tap that waited for the rulebook; only that one is heeded */
  #lastTap = null;

  async connectedCallback() {
    this.page = location.pathname.slice(1);
    this.#draft = await this.#resumed();
    if (!PLAIN.includes(this.#draft.reached)) await openRulebook();
    this.#outcome = new Outcome(this, this.#draft);
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
    this[`on${event.type}`](event);
  }

  /** A link without a step starts anew once the last check was kept; one that is under way goes on. */
  async #resumed() {
    const draft = await loadDraft(this.page);
    return draft && (location.hash || !Object.keys(draft.saved).length) ? draft : newDraft();
  }

  get #steps() {
    return stepsFor(this.#draft.values, this.#outcome.situation());
  }

  #allowed(wanted) {
    return allowedStep(this.#steps, wanted, this.#draft.reached || this.#draft.step);
  }

  get #form() {
    return this.querySelector(`form[data-step="${this.#draft.step}"]`);
  }

  /** @param {string} step @param {"push"|"replace"|"stay"} how */
  #show(step, how) {
    this.#draft.step = step;
    if (!this.#steps.includes(this.#draft.reached) || this.#isFurther(step)) this.#draft.reached = step;
    for (const form of this.querySelectorAll("form[data-step]")) form.hidden = form.dataset.step !== step;
    fill(this.#form, this.#draft.values);
    showProblems(this.#form, {});
    const rest = this.#outcome.enter(step, this.#form);
    this.#refresh();
    this.#place();
    // A keyboard opens only for a focus that comes with the tap.
    this.#form.querySelector("[data-first]")?.focus({ preventScroll: true });
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

  #settle(step, how, rest) {
    if (!this.#form.querySelector("[data-first]")) this.#form.querySelector("h1").focus({ preventScroll: true });
    if (!rest) return;
    this.#enter(step, how);
    rest();
    this.#persist();
  }

  #isFurther(step) {
    return this.#steps.indexOf(step) > this.#steps.indexOf(this.#draft.reached);
  }

  #refresh() {
    showWhen(this.#form, this.#draft.values);
    for (const question of this.#form.querySelectorAll("[data-question]")) {
      const text = questionAbout(question.dataset.question, this.#draft.values[question.dataset.question] ?? "") ?? "";
      if (question.textContent !== text) question.textContent = text;
    }
  }

  /** Where in the check this is. */
  #place() {
    const at = this.#steps.indexOf(this.#draft.step) + 1;
    const bar = this.querySelector("[data-part=progress]");
    bar.max = this.#steps.length;
    bar.value = at;
    bar.setAttribute("aria-label", `Step ${at} of ${this.#steps.length}`);
    window.scrollTo(0, 0);
  }

  /** After the rulebook has come, what depends on it is shown. */
  #again() {
    if (!this.#outcome || !this.#form) return;
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

  /** @param {Record<string, string>} values what the button that was tapped says */
  #forward(values) {
    Object.assign(this.#draft.values, values);
    this.#withRules(() => {
      this.#outcome.leave(this.#draft.step);
      const next = this.#steps[this.#steps.indexOf(this.#draft.step) + 1];
      if (next) this.#show(next, "push");
    });
  }

  /** What may ask the engine is done when the rulebook is open, and never without it while it is only on its way. */
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

  onsubmit(event) {
    event.preventDefault();
    this.#take();
    const problems = problemsOf(this.#form);
    showProblems(this.#form, problems);
    if (Object.keys(problems).length) this.#persist();
    else this.#forward(said(this.#form.querySelector("[data-next]")?.dataset.says));
  }

  oninput(event) {
    this.#take();
    if (event.target.name) this.#draft.values[`${event.target.name}.skipped`] = "";
    clearProblem(this.#form, event.target.name);
    this.#refresh();
    this.#persist();
  }

  /** Enter goes to the next empty field of the screen, then on. */
  onkeydown(event) {
    if (event.key !== "Enter" || event.target.localName !== "input") return;
    const next = nextEmptyField(this.#form, event.target);
    if (!next) return;
    event.preventDefault();
    next.focus();
  }

  onclick(event) {
    const button = event.target.closest("button, a");
    if (!button) return;
    if ("back" in button.dataset) this.#back();
    if ("skip" in button.dataset) this.#skip(button);
    if ("fill" in button.dataset) this.#fillIn(button);
    if ("goto" in button.dataset) this.#jump(button);
    if ("add" in button.dataset) this.#test(button);
    if ("anew" in button.dataset) this.#anew();
    if ("finish" in button.dataset) this.#finish(event, button);
  }

  #back() {
    this.#take();
    if (history.state?.depth > 0) return history.back();
    const before = this.#steps[this.#steps.indexOf(this.#draft.step) - 1];
    if (before) this.#show(before, "replace");
    else location.assign("/");
  }

  #skip(button) {
    this.#take();
    this.#forward(said(button.dataset.says));
  }

  #fillIn(button) {
    const field = this.#form.elements.namedItem(button.closest("[data-for]").dataset.for);
    field.value = button.dataset.fill;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  #jump(button) {
    this.#take();
    Object.assign(this.#draft.values, said(button.dataset.says));
    this.#withRules(() => {
      this.#outcome.leave(this.#draft.step);
      if (this.#steps.includes(button.dataset.goto)) this.#show(button.dataset.goto, "push");
    });
  }

  /** Opens the screens of a test; its answer joins this check. */
  #test(button) {
    this.#take();
    this.#show(this.#outcome.open(button.dataset.add), "push");
  }

  async #anew() {
    this.#draft = await newDraft();
    this.#outcome = new Outcome(this, this.#draft);
    await this.#outcome.prepare();
    this.#show(this.#steps[0], "replace");
  }

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

  onpopstate() {
    this.#show(this.#allowed(location.hash.slice(1)), "stay");
  }

  onpagehide() {
    if (!this.#isFinished) leaveDraft(this.page, this.#draft);
  }

  /** Keeps the draft after records were kept or refused. */
  settled() {
    this.#persist();
  }
}
