import { html, show } from "../lib/html.js";
import { localIso } from "../lib/times.js";
import { rulebook } from "../sync/rulebook.js";
import { doneTests, forgetReadings, noteDone, openTest, testOf } from "./added.js";
import { failureMarkup } from "./banner.js";
import { assess, broughtEngine } from "./engine.js";
import { wordsOf } from "./family.js";
import { judge, judgementOf, letsPlugIn } from "./judge.js";
import { FOUR_CONTACTS, hasTwoLegs } from "./pairs.js";
import { checkBody, checkOf, lampPairs, plugInBody } from "./record.js";
import { outletOnRig } from "./rig-outlet.js";
import { keepInstrument, keepOnce } from "./saving.js";
import { judgeSkin } from "./skin.js";
import { earthMarkup, howMarkup } from "./tests.js";

const HALF_HOUR_MS = 30 * 60 * 1000;

const UNKNOWN_OUTLET =
  "Not saved: this phone does not know the outlet. Sign in with a signal once, then open this page again.";

/** Steps after which the verdict stands; what changes before them undoes it. */
const AFTER_VERDICT = ["verdict", "plug", "skin", "unplug", "inside", "done"];

/** What a check comes to: the verdict, what follows from it, and the records kept of both. */
export class Outcome {
  #saving = Promise.resolve();

  /** @param {HTMLElement} element @param {import("./draft.js").Draft} draft */
  constructor(element, draft) {
    this.element = element;
    this.draft = draft;
    this.where = element.getAttribute("where");
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
    return rulebook()?.outlets[outlet]?.ground_fault === "expected" || outlet === "5-20";
  }

  /** @param {string} step whose entries changed */
  changed(step) {
    if (!AFTER_VERDICT.includes(step)) this.draft.values.usable = "";
  }

  /** @param {string} step */
  leave(step) {
    const { values } = this.draft;
    if (step === "outlet") this.#changeContacts();
    noteDone(values, step);
    if (step === "look" || step === "outlet") values.stopped = this.#lookStops() ? "yes" : "";
    if (step.endsWith("-names")) values[step.replace("-names", "s_known")] = "";
    if (step === "skin" || values.tingle === "yes") judgeSkin(values, rulebook());
  }

  /** What was read at other contacts says nothing of these. */
  #changeContacts() {
    const { values } = this.draft;
    const legs = hasTwoLegs(values.outlet) ? "two" : "one";
    if (values.legs && values.legs !== legs) forgetReadings(values);
    values.legs = legs;
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
    this.#callLamps(form);
    if (step === "outlet") this.#offerOutlets(form);
    this.#sayHow(step, form);
    if (step === "verdict") return this.#showVerdict(form);
    if (step === "unplug" || step === "done") this.#keepPlugIn(form);
    if (step === "done") this.#remind(form);
  }

  /** Says when half an hour is over. */
  #remind(form) {
    const { values } = this.draft;
    values.feel_at ||= localIso(new Date(Date.now() + HALF_HOUR_MS)).slice(11, 16);
    form.querySelector("[data-part=feel-at]").textContent = `, at ${values.feel_at},`;
  }

  /** The outlet with four contacts cannot be chosen where the rulebook does not judge it. */
  #offerOutlets(form) {
    const choice = form.querySelector(`[name=outlet][value="${FOUR_CONTACTS}"]`).closest("label");
    choice.hidden = rulebook()?.outlets[FOUR_CONTACTS] === undefined && rulebook() !== null;
  }

  /** Says how an added test is done, and its caution, on each of its screens. */
  #sayHow(step, form) {
    const place = form.querySelector("[data-part=how]");
    if (!place) return;
    const { values } = this.draft;
    const test = testOf(step, values);
    const { name, caution, how } = test && rulebook() ? wordsOf(rulebook(), values.outlet, "tests", test) : {};
    const title = form.querySelector("[data-part=test-name]");
    if (title && name) title.textContent = name;
    show(
      place,
      html`${howMarkup({
        caution,
        how: "brief" in place.dataset ? [] : how,
      })}${test === "earth" ? earthMarkup(rulebook()?.words.earth) : ""}`,
    );
  }

  #callLamps(form) {
    const { values } = this.draft;
    for (const place of form.querySelectorAll("[data-called]")) {
      const called = values[`${place.dataset.called}.called`];
      place.textContent = called ? `“${called}”` : "";
    }
    const pairs = lampPairs(values);
    for (const lamp of form.querySelectorAll("[data-lamp]")) lamp.hidden = !pairs.includes(lamp.dataset.lamp);
  }

  #showVerdict(form) {
    const { values } = this.draft;
    const judged = judge(() => checkOf(values, this.where), rulebook(), assess);
    values.usable = letsPlugIn(judged) ? "yes" : "no";
    values.verdict = judged.answer?.verdict ?? "none";
    this.#endQuietly(form, false);
    form.querySelector("fl-photos")?.about(null);
    if (!judged.answer) return this.#showFailure(form, judged.failure);
    const { answer } = judged;
    const { bannerMarkup, offerOf, reasonsMarkup, spokenVerdict } = broughtEngine();
    const body = checkBody(values, {
      where: this.where,
      trips: this.#trips() && values.stopped !== "yes",
      judgement: judgementOf(answer),
    });
    const offer = offerOf(answer, rulebook(), values, this.where);
    this.#endQuietly(form, answer.verdict === "test-more" && offer.next !== null);
    this.#showParts(form, bannerMarkup(answer, rulebook(), values.outlet));
    form.querySelector("fl-saved").wait("Saving…");
    return () => {
      show(
        form.querySelector("[data-part=reasons]"),
        reasonsMarkup(answer, rulebook(), {
          outlet: values.outlet,
          where: this.where,
          notTested: body.not_tested,
          offer,
        }),
      );
      this.#speak(spokenVerdict(answer, rulebook(), this.where));
      if (this.where === "rig" && !this.outlet) return form.querySelector("fl-saved").wait(UNKNOWN_OUTLET);
      this.#keep(form, () => this.#keepCheck(body));
    };
  }

  /** Where a next test is the way on, the end of the check does not look like it. */
  #endQuietly(form, isQuiet) {
    form.querySelector(".actions [data-finish]").classList.toggle("button--quiet", isQuiet);
  }

  #showFailure(form, sentence) {
    this.#showParts(form, failureMarkup(sentence));
    form.querySelector("fl-saved").wait("Kept on this phone as a draft, not as a check.");
    this.#speak(`No verdict. ${sentence}`);
  }

  #showParts(form, banner) {
    show(form.querySelector("[data-part=banner]"), banner);
    show(form.querySelector("[data-part=reasons]"), html``);
  }

  async #keepCheck(body) {
    const { values } = this.draft;
    const instrument = await keepInstrument(values, body.check, this.draft.account);
    const kind = this.where === "rig" ? "outlet-test" : "arrival-check";
    const added = {
      page: this.element.page,
      tests: doneTests(values),
      name: (test) => wordsOf(rulebook(), values.outlet, "tests", test).name ?? test,
    };
    return keepOnce(
      this.draft,
      { kind, rig: this.outlet?.rig ?? null, subject: this.outlet?.id ?? null, instrument, body },
      added,
    );
  }

  #keepPlugIn(form) {
    const { values, saved } = this.draft;
    const judgement = { level: values["skin.level"] || "none", rulebook: rulebook()?.id };
    const told = form.querySelector("[data-part=told]");
    if (told) told.textContent = values["skin.sentence"] ?? "";
    if (form.dataset.step === "unplug")
      this.#speak(`Breaker off. Do not touch the rig. ${values["skin.sentence"] ?? ""}`);
    this.#keep(form, () =>
      keepOnce(
        this.draft,
        { kind: "plug-in", subject: saved["arrival-check"].id, body: plugInBody(values, judgement) },
        { page: this.element.page },
      ),
    );
  }

  /** Says "saved" only when it is; until then the form stays as it is. One record is kept after the other. */
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
      state?.fail(error, () => this.#keep(form, work));
    }
    this.element.settled();
  }

  #speak(sentence) {
    this.element.querySelector("[data-part=spoken]").textContent = sentence;
  }

  /** @param {Error} error why the draft could not be kept */
  notKept(error) {
    console.error(error);
    const place = this.element.querySelector("[data-part=not-kept]");
    if (error.name === "Error") place.textContent = error.message;
    place.hidden = false;
  }
}
