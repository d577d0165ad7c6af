// What a screen of a check shows of the outlet and the tester, and what it leaves behind, before anything is judged.
import { remember } from "../outbox/remembered.js";
import { rulebook } from "../sync/rulebook.js";
import { changeContacts } from "./added.js";
import { earthSaid } from "./earth.js";
import { broughtEngine } from "./engine.js";
import { showFaces, turnFace } from "./facing.js";
import { LEFT_SITE } from "./instrument.js";
import { noteLearnt, showLamps } from "./lamps.js";
import { noteQuick } from "./quick.js";
import { lampPairs } from "./record.js";

/** @import { Values } from "./entries.js" */

/** @param {HTMLFormElement} form @param {Values} values */
export function enterScreen(form, values) {
  showLamps(form, values, lampPairs(values));
  showFaces(form, values);
  if (form.dataset.step === "unplug") remember(LEFT_SITE).catch((error) => console.warn(error));
}

/** Says whether the earth is proved by what was read so far. @param {HTMLFormElement} form @param {Values} values */
export function sayEarth(form, values) {
  const place = form.querySelector("[data-part=earth-proved]");
  if (!place) return;
  const said = earthAsJudged(values);
  if (place.textContent !== said) place.textContent = said;
}

/** What cannot be judged yet says nothing. @param {Values} values */
function earthAsJudged(values) {
  const book = rulebook();
  if (!book) return "";
  try {
    return earthSaid(values, book.limits["contacts-apart"]?.value ?? Infinity, (check) =>
      broughtEngine().provesEarth(check, book),
    );
  } catch (error) {
    console.warn(error);
    return "";
  }
}

/** @param {string} step @param {Values} values changed */
export function leaveScreen(step, values) {
  const isQuick = values.quick === "yes";
  if (step === "where" && isQuick) values.outlet ||= values["last.outlet"];
  if (step === "quick" && isQuick) noteQuick(values);
  if (step === "lamp-learn" || step === "lamp-apart") noteLearnt(values);
}

/**
 * Another outlet was chosen on the screen that holds its volts as well.
 * @param {HTMLFormElement} form
 * @param {Values} values changed
 */
export function changeOutlet(form, values) {
  changeContacts(values);
  showFaces(form, values);
}

/** Turns the outlet's picture to what the person sees. @param {HTMLFormElement} form @param {Values} values changed */
export function turnPicture(form, values) {
  turnFace(values);
  showFaces(form, values);
  const buttons = /** @type {HTMLElement[]} */ ([...form.querySelectorAll("[data-turn]")]);
  buttons.find((button) => button.checkVisibility())?.focus();
}
