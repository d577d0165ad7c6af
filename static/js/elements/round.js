import { dropDraft, leaveDraft, loadDraft, saveDraft, typist } from "../check/draft.js";
import { openRulebook } from "../check/engine.js";
import { madeBy } from "../check/saving.js";
import { showWhen } from "../check/when.js";
import { AfterPaint } from "../lib/after-paint.js";
import { clearProblem, fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { dayOf, localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { wayBack } from "../lib/way-back.js";
import { changes } from "../outbox/queue.js";
import { bringSteps, broughtSteps } from "../round/brought.js";
import { draftOf, keepRound, keepStep, keptOf, lampValues, newRound, recordOf, testAgain } from "../round/keeping.js";
import { known, rigsOnPhone } from "../round/known.js";
import { endMarkup, listActions, listMarkup, notEnded, rigsMarkup } from "../round/list.js";
import { standingOf } from "../round/standing.js";
import { isDue, isStruck, keyIn } from "../round/steps.js";
import { isOutside } from "../round/struck.js";
import { rigRules } from "../sync/rig-rules.js";

/** @import { Values } from "../check/entries.js" */
/** @import { Answers } from "../round/answers.js" */
/** @import { StepFinding } from "../round/findings.js" */
/** @import { Round } from "../round/keeping.js" */
/** @import { RoundKnowledge } from "../round/known.js" */
/** @import { StepScreen } from "../round/screens.js" */
/** @import { Step } from "../round/steps.js" */

const NO_RULES = "The rules of the round are not on this phone yet. Open this page once with a signal.";
const today = () => dayOf(localIso(new Date()));

/** Leads through the round of a rig: a list, then a screen a step. The address says which. */
export class FlRound extends HTMLElement {
  /** @type {Round|null} */
  #round = null;
  /** @type {RoundKnowledge|null} the rig and what is known of it */
  #known = null;
  /** @type {StepScreen|null} the step on screen */
  #asked = null;
  #isNoted = false;
  #hasEnded = false;
  #shown = "";
  /** @type {Promise<unknown>} */
  #keeping = Promise.resolve();
  /** @type {Values} what is remembered of the tester */
  lamps = {};
  /** @type {string|null} the page that sent the person here for one step */
  #waiting = wayBack();
  /** @type {string|null} who was at the phone when this page was opened */
  #typist = null;

  async connectedCallback() {
    for (const type of ["submit", "click", "input"]) this.addEventListener(type, this);
    for (const type of ["hashchange", "pagehide"]) window.addEventListener(type, this);
    changes.addEventListener("changed", this);
    this.#typist = await typist().catch(() => null);
    this.lamps = await lampValues({});
    await this.#showWanted();
    new AfterPaint().wait(() =>
      bringSteps()
        .then(openRulebook)
        .then(() => this.#asked && this.#judge()),
    );
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide"]) window.removeEventListener(type, this);
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    const { type, target } = event;
    if (type === "hashchange") this.#showWanted();
    else if (type === "changed") this.#changed();
    else if (type === "pagehide") this.#left();
    else if (type === "submit") this.#submitted(event);
    else if (type === "click") this.#tapped(/** @type {Element} */ (target).closest("button, a[data-way]"));
    else this.#typedAt(/** @type {HTMLInputElement} */ (target));
  }

  /** Shows what the address asks for: a choice of rigs, the list, or a step. */
  async #showWanted() {
    this.#hasEnded = false;
    this.#asked = null;
    const wanted = new URLSearchParams(location.hash.slice(1));
    const rules = await rigRules();
    if (!rules) return this.#page(html`<h1 tabindex="-1">Round</h1><p class="notice">${NO_RULES}</p>`);
    const rig = await this.#find(wanted.get("rig"));
    if (!rig) return;
    const step = this.#here.steps.find(({ key }) => key === keyIn(wanted));
    if (step?.what === "outlet" || step?.of === "skin") await openRulebook();
    if (!step) return this.#list();
    await bringSteps();
    return this.#open(step);
  }

  async #changed() {
    if (!this.#known || this.#hasEnded) return;
    this.#known = (await known(this.#known.rig.id, today())) ?? this.#known; // or it was signed out elsewhere
    if (!this.#asked) this.#list(false);
    else if (this.#asked.step.what === "outlet" && !this.#isNoted) this.#judge();
  }

  #left() {
    if (this.#round?.touched) leaveDraft(draftOf(this.#here.rig.id), this.#round);
  }

  /** Asked only where a rig is shown. */
  get #here() {
    return /** @type {RoundKnowledge} */ (this.#known);
  }

  /** Asked only where a step is on screen. */
  get #on() {
    return /** @type {StepScreen} */ (this.#asked);
  }

  get #form() {
    return partOf(this, "form", HTMLFormElement);
  }

  /** @param {string|null} id */
  async #find(id) {
    const rigs = await rigsOnPhone();
    const rig = id || rigs.length !== 1 ? rigs.find((each) => each.id === id) : rigs[0];
    if (!rig) {
      this.#known = null;
      this.#page(rigsMarkup(rigs));
      return null;
    }
    if (this.#known?.rig.id !== rig.id) this.#round = (await loadDraft(draftOf(rig.id))) ?? null;
    this.#known = await known(rig.id, today());
    return this.#known && rig;
  }

  #begun() {
    this.#round ??= newRound(
      this.#here.steps.filter((step) => step.isDue).map(({ key }) => key),
      this.#typist,
    );
    return this.#round;
  }

  /** @param {Step} step */
  #standing(step) {
    return standingOf(this.#here.rig, this.#round, step, today());
  }

  /** Those that were due when it began, and what an incident made due since. */
  get #inRound() {
    const round = this.#round;
    return this.#here.steps.filter((step) => (round ? round.steps.includes(step.key) || isStruck(step) : step.isDue));
  }

  /**
   * A step that was only looked at begins no round.
   * @param {boolean} [isNew] whether the person comes to the list now
   */
  #list(isNew = true) {
    if (!this.#round?.touched) this.#round = null;
    const { rig, rigs, steps, due } = this.#here;
    const inRound = this.#inRound;
    const standings = steps.map((step) => ({ key: step.key, ...this.#standing(step) }));
    const states = new Map(standings.map(({ key, state }) => [key, state]));
    const before = new Map(standings.map(({ key, before: said }) => [key, said]));
    const grounds = due.filter((item) => item.thing.what === "ground" && isDue(item));
    const startedAt = this.#round?.started_at ?? null;
    const others = steps.filter((step) => !inRound.includes(step));
    const struck = due.filter(isOutside);
    const told = { inRound, others, grounds, struck, states, before, startedAt, hasMore: rigs.length > 1 };
    this.#page(listMarkup(rig, told), listActions({ startedAt, isReady: inRound.length > 0 }), isNew);
  }

  // What stands there already is left alone, as is the place to which a person scrolled.
  /** @param {ReturnType<typeof html>} body */
  #page(body, actions = html``, isNew = true) {
    const markup = html`<div class="step"><div class="step__body">${body}</div>${
      actions.text ? html`<div class="actions round-actions">${actions}</div>` : ""
    }</div>`;
    if (!isNew && markup.text === this.#shown) return;
    show(this, markup);
    this.#shown = markup.text;
    if (isNew) this.#arrive();
  }

  #arrive() {
    window.scrollTo(0, 0);
    partOf(this, "h1").focus({ preventScroll: true });
  }

  /** @param {Step} step */
  #open(step) {
    const round = this.#begun();
    const { before } = this.#standing(step);
    if (before && keptOf(round, step)) testAgain(round, step);
    this.#asked = broughtSteps().askedAt(step, { known: this.#here, round, lamps: this.lamps, today: today() });
    this.#isNoted = Boolean(keptOf(round, step));
    show(
      this,
      html`<progress class="progress" value="${
        this.#inRound.filter((each) => this.#standing(each).state).length
      }" max="${round.steps.length || 1}" aria-label="Steps done"></progress>${
        before ? html`<p class="notice" data-before>${before}.</p>` : ""
      }${broughtSteps().screen(this.#on)}`,
    );
    this.#judge();
    this.#arrive();
  }

  /** Says at once what the answers come to. */
  #judge() {
    const { step, answers } = this.#on;
    const { made } = this.#standing(step);
    const result = broughtSteps().found(this.#on, { ...this.#here, lamps: this.lamps, made, today: today() });
    showWhen(this, answers);
    show(partOf(this, "[data-part=says]"), result.says ?? html``);
    partOf(this, "[data-next]").textContent = this.#isNoted && result.isBad ? "Noted: next" : "Next";
    const isKept = this.#round !== null && recordOf(this.#round, step) !== null;
    partOf(this, "[data-part=skip]").hidden = isKept || result.isBad;
    partOf(this, "[data-again]").hidden = !(this.#isNoted && result.isBad);
    return result;
  }

  /** @param {HTMLInputElement} target */
  #typedAt(target) {
    const { step } = this.#on;
    const round = this.#begun();
    const form = this.#form;
    const answers = /** @type {Answers} */ (read(form)); // it has no checkboxes
    showWhen(form, answers);
    this.#on.answers = round.answers[step.key] = answers;
    this.#isNoted = false;
    clearProblem(form, target.name);
    const result = this.#judge();
    this.#persist();
    if (result.says?.text && target.type === "radio") this.#toSaying();
    if (result.isBad && !Object.keys(result.problems).length && target.type === "radio") this.#note(result);
  }

  /** What is longer than the screen is shown from its beginning. */
  #toSaying() {
    const says = partOf(this, "[data-part=says]");
    says.scrollIntoView({ block: says.querySelector(".verdict") ? "start" : "nearest", behavior: "instant" });
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const { step, answers } = this.#on;
    const round = this.#begun();
    const result = this.#judge();
    showProblems(this.#form, result.problems);
    if (Object.keys(result.problems).length) return;
    this.#on.answers = round.answers[step.key] = answers;
    if (answers.supply) round.supply = answers.supply;
    if (answers.dry === "yes") round.dry = today();
    const isSeen = this.#isNoted || !result.isBad;
    if (!result.isElsewhere && !(await this.#note(result))) return;
    if (isSeen) this.#onwards(step);
    else this.#toSaying();
  }

  /** @param {StepFinding} result to be kept @returns {Promise<boolean>} whether its record is on the phone */
  async #note(result) {
    const { step } = this.#on;
    const round = this.#begun();
    const { members } = result;
    if (!members) return false;
    const saving = this.#keeping
      .then(() => madeBy(round.account))
      .then(async () => keepStep(round, step, { rig: this.#here.rig.id, ...(await members()) }));
    this.#keeping = saving.catch(() => null); // what failed is told below
    try {
      const id = await saving;
      round.came[step.key] = result.came ?? "";
      if (!round.steps.includes(step.key)) round.steps.push(step.key);
      await this.#persist();
      if (result.isBad && this.#asked?.step === step) this.#saved(id);
      return true;
    } catch (error) {
      console.error(error);
      const place = this.querySelector("fl-saved");
      if (place) place.hidden = false;
      place?.fail(/** @type {Error} */ (error), () => this.#note(result));
      return false;
    }
  }

  /** @param {string} id */
  #saved(id) {
    this.#isNoted = true;
    const place = this.querySelector("fl-saved");
    if (place) place.hidden = false;
    place?.follow(id);
    this.#judge();
  }

  #persist() {
    return saveDraft(draftOf(this.#here.rig.id), this.#begun()).catch((error) => console.error(error));
  }

  /** @param {HTMLElement|null} button */
  #tapped(button) {
    if (!button) return;
    if ("back" in button.dataset) this.#go();
    if ("skip" in button.dataset) this.#skip();
    if ("all" in button.dataset) this.#answerAll();
    if ("again" in button.dataset && this.#asked) this.#again();
    if ("end" in button.dataset) this.#end();
    if ("go" in button.dataset) this.#start(button.dataset.go);
    if ("way" in button.dataset) this.#persist();
  }

  /** @param {string|undefined} dry */
  async #start(dry) {
    const round = this.#begun();
    if (dry) round.dry = today();
    await this.#persist();
    this.#onwards(null);
  }

  /** Every point that is still open is good; each shows that it was so answered. */
  #answerAll() {
    fill(this.#form, broughtSteps().allGood(this.#on.points, /** @type {Answers} */ (read(this.#form))));
    this.#typedAt(partOf(this, "[name^='point.']", HTMLInputElement));
  }

  #again() {
    const { step } = this.#on;
    testAgain(this.#begun(), step);
    this.#persist();
    this.#open(step);
  }

  async #skip() {
    const { step } = this.#on;
    const round = this.#begun();
    round.skipped[step.key] = partOf(this, "[name=why]", HTMLInputElement).value.trim();
    if (!round.steps.includes(step.key)) round.steps.push(step.key);
    await this.#persist();
    this.#onwards(step);
  }

  /**
   * To the page that waits for this step; else to the next open step, round to the ones before; the last of them ends
   * the round.
   * @param {Step|null} from
   */
  #onwards(from) {
    const waiting = from && this.#waiting;
    this.#waiting = null;
    if (waiting) return location.assign(waiting);
    const steps = this.#inRound;
    const at = steps.findIndex(({ key }) => key === from?.key) + 1;
    const next = [...steps.slice(at), ...steps.slice(0, at)].find((step) => !this.#standing(step).state);
    if (next) this.#go(next.key);
    else this.#end();
  }

  /** @param {string} [key] */
  #go(key) {
    location.hash = `rig=${this.#here.rig.id}${key ? `&at=${key}` : ""}`;
  }

  async #end() {
    const { rig } = this.#here;
    const round = this.#begun();
    const came = this.#inRound.map((step) => {
      const { shownBy, state, before } = this.#standing(step);
      return { step, name: step.name, shownBy, state: state ?? before ?? "Skipped" };
    });
    this.#hasEnded = true;
    try {
      round.end ??= uuid7();
      await this.#persist();
      await keepRound(round, rig.id, came);
      await dropDraft(draftOf(rig.id), round);
    } catch (error) {
      console.error(error);
      this.#hasEnded = false;
      return this.#page(...notEnded(rig));
    }
    this.#round = null;
    this.#asked = null;
    history.replaceState(null, "", `#rig=${rig.id}`);
    this.#page(endMarkup(rig, came), html`<a class="button button--main" href="/">Done</a>`);
    this.querySelector("fl-saved")?.follow(round.end);
  }
}
