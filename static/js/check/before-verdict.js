// Where a step leads, once a verdict is near: straight back to it after mending, and before it to readings that have to
// be made again.
import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { rulebook } from "../sync/rulebook.js";
import { openTest } from "./added.js";
import { AGAIN, againTitle, openAgain } from "./again.js";
import { assess, broughtEngine } from "./engine.js";
import { textAt } from "./entries.js";
import { judge, letsPlugIn } from "./judge.js";
import { checkOf } from "./record.js";

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Values } from "./entries.js" */
/** @typedef {"pedestal"|"rig"} Where */

/**
 * Gives the screen that follows. After mending that is the verdict, unless the change asked for new readings.
 * @param {string} step
 * @param {string[]} steps
 * @param {Values} values
 * @param {Where} where
 * @returns {string|undefined}
 */
export function stepAfter(step, steps, values, where) {
  const known = textAt(values, "verdict.steps").split(" ");
  if (step === AGAIN && !steps.includes(step)) return "verdict"; // it was left, so it is no more among them
  const rest = steps.slice(steps.indexOf(step) + 1);
  const next =
    values["verdict.mending"] === "yes" ? rest.find((each) => each === "verdict" || !known.includes(each)) : rest[0];
  if (next !== "verdict" || step === AGAIN || values[`${AGAIN}.done`]) return next;
  const doubt = doubtAbout(values, where);
  if (!doubt) return next;
  openAgain(values, doubt.pairs);
  return openTest(values, AGAIN);
}

/** @param {Values} values @param {Where} where */
function doubtAbout(values, where) {
  const { answer } = judge(() => checkOf(values, where), rulebook(), assess);
  if (!answer) return null;
  const check = checkOf(values, where);
  /** @param {Record<string, string>} volts */
  const isRight = (volts) => {
    const judged = judge(() => ({ ...check, volts }), rulebook(), assess);
    return letsPlugIn(judged) && judged.answer?.faults[0]?.id === "correct";
  };
  return broughtEngine().doubtOf(check, answer, isRight);
}

/**
 * Says on the screen on which readings are made again why, and what may have slipped.
 * @param {HTMLFormElement} form
 * @param {Values} values
 * @param {Where} where
 */
export function sayAgain(form, values, where) {
  partOf(form, "[data-part=again-title]").textContent = againTitle(textAt(values, "again.pairs").split(" "));
  const doubt = rulebook() && doubtAbout({ ...values, [`${AGAIN}.done`]: "no", added: [] }, where);
  if (!doubt) return;
  const { volts = {} } = checkOf(values, where);
  show(
    partOf(form, "[data-part=again-why]"),
    broughtEngine().againMarkup(doubt, /** @type {Record<string, string>} */ (volts)),
  );
}

/**
 * Notes, as a verdict is shown, what it was made from, so that mending can lead back to it.
 * @param {HTMLElement} element the check
 * @param {Pick<Assessed, "next_test">} answer
 * @param {Values} values changed
 * @param {string[]} steps
 * @returns {(name: string) => string|null} the screen with a field of that name
 */
export function noteSteps(element, { next_test: next }, values, steps) {
  values["verdict.mending"] = "";
  Object.assign(values, { "verdict.steps": steps.join(" ") });
  if (next?.id === AGAIN) values["again.pairs"] = (next.pairs ?? []).join(" ");
  return (name) => {
    /** @type {NodeListOf<HTMLElement>} */
    const fields = element.querySelectorAll(`[name="${name}"]`);
    const found = [...fields].map((field) => field.closest("form")?.dataset.step ?? "");
    return steps.find((step) => found.includes(step)) ?? null;
  };
}

/**
 * Where the next tap leads back to the verdict, the button says so.
 * @param {string} step
 * @param {HTMLFormElement} form
 * @param {Values} values
 */
export function callForward(step, form, values) {
  /** @type {HTMLElement|null} */
  const button = form.querySelector("[data-next]");
  if (!button || button.childElementCount || step === "verdict") return;
  button.dataset.label ??= button.textContent ?? "";
  button.textContent = values["verdict.mending"] === "yes" ? "To the verdict" : button.dataset.label;
}
