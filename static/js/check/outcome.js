import { FOUR_CONTACTS } from "../engine/contacts.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { allRows } from "../outbox/queue.js";
import { rulebook } from "../sync/rulebook.js";
import { changeContacts, doneTests, noteDone, openTest, testOf } from "./added.js";
import { AGAIN, forgetAgain } from "./again.js";
import { failureMarkup } from "./banner.js";
import { callForward, noteSteps, sayAgain, stepAfter } from "./before-verdict.js";
import { assess, broughtEngine } from "./engine.js";
import { outletIn, wordsOf } from "./family.js";
import { keepInstrument } from "./instrument.js";
import { judge, judgementOf, letsPlugIn } from "./judge.js";
import { checkBody, checkOf, plugInBody } from "./record.js";
import { outletOnRig } from "./rig-outlet.js";
import { keepOnce } from "./saving.js";
import { madeIn } from "./settling.js";
import { judgeSkin } from "./skin.js";
import { stepsFor } from "./steps.js";
import { earthMarkup, howMarkup } from "./tests.js";

/** @import { BodyArrivalCheck, BodyOutletTest } from "../../../schemas/shapes/record.d.ts" */
/** @import { Rulebook, TestWords } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Draft } from "./draft.js" */
/** @typedef {ReturnType<typeof html>} Markup */
/** @typedef {HTMLElement & {page: string, settled: () => void}} CheckElement */

const HALF_HOUR_MS = 30 * 60 * 1000;

const UNKNOWN_OUTLET =
  "Not saved: this phone does not know the outlet. Sign in with a signal once, then open this page again.";

/** Steps after which the verdict stands; what changes before them undoes it. */
const AFTER_VERDICT = ["verdict", "plug", "skin", "unplug", "inside", "done"];

/** What a check comes to: the verdict, what follows from it, and the records kept of both. */
export class Outcome {
  /** @type {Promise<unknown>} */
  #saving = Promise.resolve();

  /** @param {CheckElement} element @param {Draft} draft */
  constructor(element, draft) {
    this.element = element;
    this.draft = draft;
    /** @type {"pedestal"|"rig"} */
    this.where = element.getAttribute("where") === "rig" ? "rig" : "pedestal";
    /** @type {{id: string, rig: string}|null} */
    this.outlet = null;
  }

  /** An outlet of a rig is known by its record. */
  async prepare() {
    if (this.where !== "rig") return;
    this.outlet = await outletOnRig(this.element, this.draft.values);
  }

  situation() {
    const { values } = this.draft;
    return {
      where: this.where,
      stopped: values.stopped === "yes",
      usable: values.usable === "yes",
      trips: this.#trips(),
    };
  }

  #trips() {
    const { outlet } = this.draft.values;
    const book = rulebook();
    return (book && outletIn(book, outlet)?.ground_fault === "expected") || outlet === "5-20";
  }

  /** @param {string} step whose entries changed */
  changed(step) {
    if (AFTER_VERDICT.includes(step)) return;
    this.draft.values.usable = "";
    if (step !== AGAIN) forgetAgain(this.draft.values);
  }

  /** @param {string} step @param {string[]} steps @returns {string|undefined} the screen that follows */
  after(step, steps) {
    return stepAfter(step, steps, this.draft.values, this.where);
  }

  /** @param {string} step */
  leave(step) {
    const { values } = this.draft;
    if (step === "outlet") changeContacts(values);
    noteDone(values, step);
    if (step === AGAIN && values[`${AGAIN}.done`] === "no") values.added = values.added?.filter((id) => id !== AGAIN);
    if (step === "look" || step === "outlet") values.stopped = this.#lookStops() ? "yes" : "";
    if (step.endsWith("-names")) Object.assign(values, { [step.replace("-names", "s_known")]: "" });
    if (step === "skin" || values.tingle === "yes") judgeSkin(values, rulebook());
  }

  /** @param {string} test that is to be added @returns {string} the screen to show */
  open(test) {
    return openTest(this.draft.values, test);
  }

  /** Asks the engine whether what was seen forbids the outlet by itself. */
  #lookStops() {
    const { values } = this.draft;
    if (values.looked !== "yes" || !values.look?.length) return false;
    const judged = judge(() => checkOf({ ...values, stopped: "yes" }, this.where), rulebook(), assess);
    return !judged.answer || judged.answer.verdict === "do-not-use";
  }

  /**
   * Fills a screen with what depends on the entries.
   * @param {string} step
   * @param {HTMLFormElement} form
   * @returns {(() => void)|undefined} what may wait until the screen has been seen
   */
  enter(step, form) {
    if (!["verdict", "unplug"].includes(step)) this.#speak("");
    callForward(step, form, this.draft.values);
    if (step === AGAIN) sayAgain(form, this.draft.values, this.where);
    if (step === "outlet") this.#offerOutlets(form);
    this.#sayHow(step, form);
    if (step === "verdict") return this.#showVerdict(form);
    if (step === "unplug" || step === "done") this.#keepPlugIn(form);
    if (step === "done") this.#remind(form);
    if (step === "plug") form.dispatchEvent(new CustomEvent("fl-plugging", { bubbles: true }));
  }

  /** Says when half an hour is over. @param {HTMLFormElement} form */
  #remind(form) {
    const { values } = this.draft;
    values.feel_on ||= localIso(new Date(Date.now() + HALF_HOUR_MS));
    const at = new Date(values.feel_on);
    partOf(form, "[data-part=feel-at]").textContent = `, at ${values.feel_on.slice(11, 16)},`;
    // Only the page that plugs in brings what reminds.
    if (at.getTime() > Date.now()) form.dispatchEvent(new CustomEvent("fl-half-hour", { bubbles: true, detail: at }));
  }

  /**
   * The outlet with four contacts cannot be chosen where the rulebook does not judge it.
   * @param {HTMLFormElement} form
   */
  #offerOutlets(form) {
    const choice = partOf(form, `[name=outlet][value="${FOUR_CONTACTS}"]`).closest("label");
    if (choice) choice.hidden = rulebook()?.outlets[FOUR_CONTACTS] === undefined && rulebook() !== null;
  }

  /**
   * Says how an added test is done, and its caution, on each of its screens.
   * @param {string} step
   * @param {HTMLFormElement} form
   */
  #sayHow(step, form) {
    /** @type {HTMLElement|null} */
    const place = form.querySelector("[data-part=how]");
    if (!place) return;
    const { values } = this.draft;
    const book = rulebook();
    const test = testOf(step, values);
    /** @type {Partial<TestWords>} */
    const words = test && book ? wordsOf(book, values.outlet, "tests", test) : {};
    const { name, caution, how } = words;
    const title = form.querySelector("[data-part=test-name]");
    if (title && name) title.textContent = name;
    show(
      place,
      html`${howMarkup({
        caution,
        how: "brief" in place.dataset ? [] : how,
      })}${test === "earth" ? earthMarkup(book?.words.earth) : ""}`,
    );
  }

  /** @param {HTMLFormElement} form @returns {(() => void)|undefined} */
  #showVerdict(form) {
    const { values } = this.draft;
    const book = rulebook();
    const judged = judge(() => checkOf(values, this.where), book, assess);
    values.usable = letsPlugIn(judged) ? "yes" : "no";
    values.verdict = judged.answer?.verdict ?? "none";
    this.#endQuietly(form, false);
    form.querySelector("fl-photos")?.about(null);
    if (!judged.answer || !book) {
      this.#showFailure(form, judged.failure ?? "");
      return;
    }
    const { answer } = judged;
    const { bannerMarkup, offerOf, reasonsMarkup, shownMarkup, spokenVerdict } = broughtEngine();
    const body = checkBody(values, {
      where: this.where,
      trips: this.#trips() && values.stopped !== "yes",
      judgement: judgementOf(answer),
    });
    const offer = offerOf(answer, book, values, this.where);
    const { outlet = "", supply } = values;
    const { where } = this;
    const about = { outlet, supply, where, made: madeIn(body.check), notTested: body.not_tested, offer };
    const stepWith = noteSteps(this.element, answer, values, stepsFor(values, this.situation()));
    this.#endQuietly(form, answer.verdict === "test-more" && offer.next !== null);
    this.#showParts(form, html`${bannerMarkup(answer, book, about)}${shownMarkup(body, book.words.look, stepWith)}`);
    form.querySelector("fl-saved")?.wait("Saving…");
    return () => {
      show(partOf(form, "[data-part=reasons]"), reasonsMarkup(answer, book, about));
      this.#speak(spokenVerdict(answer, book, about));
      this.#showBefore(form, body, book);
      if (this.where === "rig" && !this.outlet) form.querySelector("fl-saved")?.wait(UNKNOWN_OUTLET);
      else this.#keep(form, () => this.#keepCheck(body));
    };
  }

  /**
   * What was found here before stands beside the verdict, and has no part in it.
   * @param {HTMLFormElement} form
   * @param {BodyArrivalCheck|BodyOutletTest} body
   * @param {Rulebook} book
   */
  async #showBefore(form, body, book) {
    /** @type {"outlet-test"|"arrival-check"} */
    const kind = this.where === "rig" ? "outlet-test" : "arrival-check";
    const { saved, values } = this.draft;
    const now = {
      kind,
      subject: this.outlet?.id ?? null,
      body,
      at: localIso(new Date()),
      id: saved[kind]?.id ?? null,
    };
    try {
      const rows = await allRows();
      if (values.verdict !== body.judgement.verdict) return;
      const { pointed, rest } = broughtEngine().beforeMarkup(rows, now, book);
      show(partOf(form, "[data-part=pointed]"), pointed);
      show(partOf(form, "[data-part=before]"), rest);
    } catch (error) {
      console.error(error); // the verdict stands without it
    }
  }

  /**
   * Where a next test is the way on, the end of the check does not look like it.
   * @param {HTMLFormElement} form
   * @param {boolean} isQuiet
   */
  #endQuietly(form, isQuiet) {
    partOf(form, ".actions [data-finish]").classList.toggle("button--quiet", isQuiet);
  }

  /** @param {HTMLFormElement} form @param {string} sentence */
  #showFailure(form, sentence) {
    this.#showParts(form, failureMarkup(sentence));
    form.querySelector("fl-saved")?.wait("Kept on this phone as a draft, not as a check.");
    this.#speak(`No verdict. ${sentence}`);
  }

  /** @param {HTMLFormElement} form @param {Markup} banner */
  #showParts(form, banner) {
    show(partOf(form, "[data-part=banner]"), banner);
    for (const part of ["pointed", "before"]) show(partOf(form, `[data-part=${part}]`), html``);
    show(partOf(form, "[data-part=reasons]"), html``);
  }

  /** @param {BodyArrivalCheck|BodyOutletTest} body */
  async #keepCheck(body) {
    const { values } = this.draft;
    const instrument = await keepInstrument(values, body.check, this.draft.account);
    const book = rulebook();
    /** @type {"outlet-test"|"arrival-check"} */
    const kind = this.where === "rig" ? "outlet-test" : "arrival-check";
    const added = {
      page: this.element.page,
      tests: doneTests(values),
      /** @param {string} test */
      name: (test) =>
        (book && wordsOf(book, values.outlet, "tests", test).name) ?? (test === AGAIN ? "Readings made again" : test),
    };
    return keepOnce(
      this.draft,
      { kind, rig: this.outlet?.rig ?? null, subject: this.outlet?.id ?? null, instrument, body },
      added,
    );
  }

  /** @param {HTMLFormElement} form */
  #keepPlugIn(form) {
    const { values, saved } = this.draft;
    const judgement = { level: values["skin.level"] || "not-tested", rulebook: rulebook()?.id };
    const told = form.querySelector("[data-part=told]");
    if (told) told.textContent = values["skin.sentence"] ?? "";
    if (form.dataset.step === "unplug")
      this.#speak(`Breaker off. Do not touch the rig. ${values["skin.sentence"] ?? ""}`);
    this.#keep(form, () =>
      keepOnce(
        this.draft,
        { kind: "plug-in", subject: saved["arrival-check"]?.id ?? null, body: plugInBody(values, judgement) },
        { page: this.element.page },
      ),
    );
  }

  /**
   * Says "saved" only when it is; until then the form stays as it is. One record is kept after the other.
   * @param {HTMLFormElement} form
   * @param {() => Promise<string>} work
   */
  async #keep(form, work) {
    const state = form.querySelector("fl-saved");
    const saving = this.#saving.then(work);
    this.#saving = saving.catch(() => null); // what failed is told below, by who waits for it
    try {
      const id = await saving;
      state?.follow(id);
      form.querySelector("fl-photos")?.about(id);
    } catch (error) {
      console.error(error);
      state?.fail(/** @type {Error} */ (error), () => this.#keep(form, work));
    }
    this.element.settled();
  }

  /** @param {string} sentence */
  #speak(sentence) {
    partOf(this.element, "[data-part=spoken]").textContent = sentence;
  }

  /** @param {Error} error why the draft could not be kept */
  notKept(error) {
    console.error(error);
    const place = partOf(this.element, "[data-part=not-kept]");
    if (error.name === "Error") place.textContent = error.message;
    place.hidden = false;
  }
}
