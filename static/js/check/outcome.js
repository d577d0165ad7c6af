import { html, show } from "../lib/html.js";
import { localIso } from "../lib/times.js";
import { rulebook } from "../sync/rulebook.js";
import { assess } from "./engine.js";
import { judge, judgementOf, letsPlugIn } from "./judge.js";
import { checkBody, checkOf, plugInBody } from "./record.js";
import { keepInstrument, keepOnce } from "./saving.js";
import { judgeSkin } from "./skin.js";
import { bannerMarkup, failureMarkup, reasonsMarkup, spokenVerdict } from "./verdict.js";
import { outletOnRig } from "./rig-outlet.js";

const HALF_HOUR_MS = 30 * 60 * 1000;

const UNKNOWN_OUTLET = "Not saved: this phone does not know the outlet. Sign in with a signal once, then open this page again.";

/** Steps after which the verdict stands; what changes before them undoes it. */
const AFTER_VERDICT = ["verdict", "plug", "skin", "unplug", "inside", "done"];

/** What a check comes to: the verdict, what follows from it, and the records kept of both. */
export class Outcome {
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
    return { where: this.where, stopped: values.stopped === "yes", usable: values.usable === "yes", trips: this.#trips() };
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
    if (step === "look" || step === "outlet") values.stopped = this.#lookStops() ? "yes" : "";
    if (step === "lamp-names") values.lamps_known = "";
    if (step === "skin" || values.tingle === "yes") judgeSkin(values, rulebook());
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

  #callLamps(form) {
    for (const place of form.querySelectorAll("[data-called]")) {
      const called = this.draft.values[`lamp.${place.dataset.called}.called`];
      place.textContent = called ? `“${called}”` : "";
    }
  }

  #showVerdict(form) {
    const { values } = this.draft;
    const judged = judge(() => checkOf(values, this.where), rulebook(), assess);
    values.usable = letsPlugIn(judged) ? "yes" : "no";
    values.verdict = judged.answer?.verdict ?? "none";
    if (!judged.answer) return this.#showFailure(form, judged.failure);
    const body = checkBody(values, { where: this.where, trips: this.#trips() && values.stopped !== "yes", judgement: judgementOf(judged.answer) });
    this.#showParts(form, bannerMarkup(judged.answer, rulebook()));
    return () => {
      show(form.querySelector("[data-part=reasons]"), reasonsMarkup(judged.answer, rulebook(), body.not_tested));
      this.#speak(spokenVerdict(judged.answer, rulebook()));
      if (this.where === "rig" && !this.outlet) return form.querySelector("fl-saved").wait(UNKNOWN_OUTLET);
      this.#keep(form, () => this.#keepCheck(body));
    };
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
    const instrument = await keepInstrument(values, body.check);
    const kind = this.where === "rig" ? "outlet-test" : "arrival-check";
    return keepOnce(this.draft, { kind, rig: this.outlet?.rig ?? null, subject: this.outlet?.id ?? null, instrument, body });
  }

  #keepPlugIn(form) {
    const { values, saved } = this.draft;
    const judgement = { level: values["skin.level"] || "none", rulebook: rulebook()?.id };
    const told = form.querySelector("[data-part=told]");
    if (told) told.textContent = values["skin.sentence"] ?? "";
    if (form.dataset.step === "unplug") this.#speak(`Breaker off. Do not touch the rig. ${values["skin.sentence"] ?? ""}`);
    this.#keep(form, () => keepOnce(this.draft, { kind: "plug-in", subject: saved["arrival-check"].id, body: plugInBody(values, judgement) }));
  }

  /** Says "saved" only when it is; until then the form stays as it is. */
  async #keep(form, work) {
    const state = form.querySelector("fl-saved");
    try {
      state?.follow(await work());
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
    place.hidden = false;
  }
}
