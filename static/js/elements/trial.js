import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { forgetTrial, inTrialStore } from "../outbox/trial-store.js";
import { saveFile } from "../phone/save-file.js";
import { lookForMarks, smallMark, writeMarks } from "../trial/kill.js";
import { phoneHere } from "../trial/phone.js";
import { STATE_WORDS, STEPS } from "../trial/states.js";
import { newTrial, resultOf, stepIn, withFailure, withSeen } from "../trial/trial.js";
import {
  told,
  tryKeypad,
  tryNotification,
  tryPhoto,
  tryReach,
  tryStay,
  tryStore,
  tryStrictSave,
} from "../trial/tries.js";
import { said } from "../trial/words.js";

/** @import { Observation, StepId } from "../trial/states.js" */
/** @import { Trial } from "../trial/trial.js" */

const KEY = "trial";
const NOT_KEPT = "What was tried is on this page only: the phone’s store does not keep it.";

/** Leads through the trial of a phone, one thing after another, and gives the result to whoever holds the phone. */
export class FlTrial extends HTMLElement {
  /** @type {Trial} */
  #trial = newTrial(localIso(new Date()));
  #result = "";
  #work = Promise.resolve();

  /** What a tap starts, by the name in its button. @type {Record<string, (button: HTMLElement) => unknown>} */
  #acts = {
    open: ({ dataset }) => this.#open(/** @type {StepId|"all"} */ (dataset.open)),
    try: ({ dataset }) => this.#try(/** @type {StepId} */ (dataset.try)),
    answer: ({ dataset }) => this.#answer(dataset.answer ?? ""),
    failed: ({ dataset }) => this.#fail(/** @type {StepId} */ (dataset.failed)),
    save: () => saveFile({ name: `phone-trial-${this.#trial.began_at.slice(0, 10)}.json`, text: this.#result }),
    share: () => this.#share(),
    copy: () => this.#copy(),
    remove: () => this.#remove(),
  };

  connectedCallback() {
    for (const type of ["click", "change"]) this.addEventListener(type, this);
    this.#work = this.#begin();
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "change" && target instanceof HTMLInputElement && target.type === "file") this.#photo(target);
    /** @type {HTMLElement|null} */
    const button = type === "click" ? /** @type {Element} */ (target).closest("button") : null;
    const act = button && Object.keys(this.#acts).find((name) => name in button.dataset);
    if (button && act) this.#acts[act]?.(button);
  }

  async #begin() {
    try {
      const kept = await inTrialStore("readonly", (rows) => rows.get(KEY));
      if (kept) this.#trial = kept;
      const { state, seen } = stepIn(this.#trial, "kill");
      const marked = kept ? state === "begun" && seen.marked_at : smallMark();
      if (marked) {
        this.#trial.screen = "kill";
        this.#note("kill", await lookForMarks(marked), null);
      }
    } catch (error) {
      console.warn(error);
      this.#say(NOT_KEPT);
    }
    await this.#show();
  }

  /** @param {StepId|"all"} screen */
  async #open(screen) {
    this.#trial = { ...this.#trial, screen };
    this.#say("");
    await this.#show();
    partOf(this, `[data-screen="${screen}"] h2`).focus();
    scrollTo(0, 0);
    await this.#keep();
  }

  /** Begins within the tap, because some browsers ask the person only then. @param {StepId} step */
  async #try(step) {
    const began = performance.now();
    const tried = this.#tried(step);
    this.#say("One moment…");
    const seen = await tried;
    this.#say("");
    await this.#take(step, seen, performance.now() - began);
  }

  /** @param {StepId} step @returns {Promise<Observation<StepId>>} */
  async #tried(step) {
    if (step === "store") return tryStore();
    if (step === "strict-save") return tryStrictSave();
    if (step === "kill") return writeMarks(localIso(new Date()));
    if (step === "stay") return tryStay();
    if (step === "notification") return tryNotification();
    if (step === "keypad") return tryKeypad(partOf(this, "[name=volts]", HTMLInputElement).value);
    return tryReach();
  }

  /** @param {HTMLInputElement} field */
  async #photo(field) {
    const file = field.files?.[0];
    if (!file) return;
    const began = performance.now();
    const seen = await tryPhoto(file);
    field.value = "";
    await this.#take("camera", seen, performance.now() - began);
  }

  /** What only the person can see: "step.member.value". @param {string} answer */
  async #answer(answer) {
    const [step, member, value] = /** @type {[StepId, string, string]} */ (answer.split("."));
    const { seen, took_ms } = stepIn(this.#trial, step);
    await this.#take(step, { ...seen, [member]: ANSWERS[value] ?? value }, took_ms);
  }

  /** @param {StepId} step */
  async #fail(step) {
    const note = partOf(this, `[data-screen="${step}"] textarea`, HTMLTextAreaElement).value;
    this.#trial = withFailure(this.#trial, step, { at: localIso(new Date()), note });
    await this.#keep();
    await this.#show();
  }

  /**
   * Shows it once it is kept: whoever reads it may close the page.
   * @param {StepId} step
   * @param {Observation<StepId>} seen
   * @param {number|null} took_ms
   */
  async #take(step, seen, took_ms) {
    this.#note(step, seen, took_ms);
    await this.#keep();
    await this.#show();
  }

  /** @param {StepId} step @param {Observation<StepId>} seen @param {number|null} took_ms */
  #note(step, seen, took_ms) {
    this.#trial = withSeen(this.#trial, step, seen, { at: localIso(new Date()), took_ms });
  }

  /** One after the other, so that the newest stays. */
  #keep() {
    this.#work = this.#work.then(async () => {
      try {
        await inTrialStore("readwrite", (rows) => void rows.put(this.#trial, KEY));
      } catch (error) {
        console.warn(error);
        this.#say(NOT_KEPT);
      }
    });
    return this.#work;
  }

  async #share() {
    try {
      await navigator.share({ title: "A trial of a phone", text: this.#result });
    } catch (error) {
      const { name } = /** @type {Error} */ (error);
      if (name !== "AbortError") this.#say("The browser did not share it. Copy it, or save it as a file.");
    }
  }

  async #copy() {
    try {
      await navigator.clipboard.writeText(this.#result);
      this.#say("It is copied.");
    } catch (error) {
      console.warn(error);
      partOf(this, "[data-part=result]", HTMLTextAreaElement).select();
      this.#say("The browser did not copy it. It is marked: copy it by hand.");
    }
  }

  async #remove() {
    try {
      await this.#work;
      await forgetTrial();
      this.#trial = newTrial(localIso(new Date()));
      await this.#show();
      this.#say("The trial is taken off this phone.");
    } catch (error) {
      this.#say(`The trial was not taken off this phone. ${told(error).error}`);
    }
  }

  async #show() {
    const { screen, steps } = this.#trial;
    /** @type {NodeListOf<HTMLElement>} */
    const screens = this.querySelectorAll("[data-screen]");
    for (const each of screens) each.hidden = each.dataset.screen !== screen;
    for (const step of STEPS) this.#showStep(step);
    const isBegun = steps.some(({ state }) => state !== "not-tried");
    partOf(this, "[data-part=handing]").hidden = !isBegun;
    const result = resultOf(this.#trial, await phoneHere(), localIso(new Date()));
    this.#result = `${JSON.stringify(result, null, 1)}\n`;
    partOf(this, "[data-part=result]", HTMLTextAreaElement).value = this.#result;
    partOf(this, "[data-share]").hidden = !("share" in navigator);
  }

  /** @param {StepId} id */
  #showStep(id) {
    const { state, seen, note, told_by } = stepIn(this.#trial, id);
    const screen = partOf(this, `[data-screen="${id}"]`);
    partOf(this, `[data-state="${id}"]`).textContent = STATE_WORDS[state];
    const sentences = [...said(id, seen), ...(told_by === "person" ? [`You noted that it did not work. ${note}`] : [])];
    show(
      partOf(screen, "[data-part=seen]"),
      state === "not-tried"
        ? html``
        : html`<p class="trial__state" data-told="${state}">${STATE_WORDS[state]}</p>
          <ul class="trial__seen">${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>`,
    );
    const asking = screen.querySelector("[data-part=asking]");
    if (asking instanceof HTMLElement) asking.hidden = !isAsked(id, seen);
  }

  /** @param {string} sentence */
  #say(sentence) {
    partOf(this, "[data-part=said]").textContent = sentence;
  }
}

/** @type {Record<string, boolean>} */
const ANSWERS = { yes: true, no: false };

/**
 * Says whether it is the person's turn to tell what only they can see.
 * @param {StepId} step
 * @param {Observation<StepId>} seen
 */
function isAsked(step, seen) {
  if (step === "kill") return "rows_there" in seen;
  if (step === "notification") return "shown" in seen && seen.shown === true;
  return step === "keypad" && "typed" in seen;
}
