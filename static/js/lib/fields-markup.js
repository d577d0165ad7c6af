// Fields of a form that depend on what was kept; fieldlog/web/layout/templates/entries.html makes the others, alike.
import { html } from "./html.js";

/** @typedef {{name: string, label: string, unit?: string, choices?: [string, string][]}} Reading */
/** @typedef {Reading & {choices: [string, string][]}} ChoiceField */

/** @param {Reading} reading */
export function fieldMarkup(reading) {
  return reading.choices ? choicesMarkup(/** @type {ChoiceField} */ (reading)) : numberMarkup(reading);
}

/** @param {string} name */
const idOf = (name) => name.replaceAll(".", "-");

/** @param {Reading} reading */
function numberMarkup({ name, label, unit }) {
  const id = idOf(name);
  return html`<div class="field"><label for="${id}">${label}</label>
    <div class="number"><input type="text" inputmode="decimal" autocomplete="off" enterkeyhint="next" id="${id}"
      name="${name}" aria-describedby="${id}-problem"><span class="number__unit" aria-hidden="true">${unit}</span></div>
    ${problemMarkup(name)}<p class="question" data-question="${name}" role="status"></p></div>`;
}

/** @param {ChoiceField} reading */
function choicesMarkup({ name, label, choices }) {
  return html`<fieldset class="field choices choices--${choices.length}"
    aria-describedby="${idOf(name)}-problem"><legend>${label}</legend>
    <div class="choices__options">${choices.map(
      ([value, said]) =>
        html`<label class="choice"><input type="radio" name="${name}" value="${value}"><span
          class="choice__label">${said}</span></label>`,
    )}</div>
    ${problemMarkup(name)}</fieldset>`;
}

/** @param {string} name */
const problemMarkup = (name) => html`<p class="problem" id="${idOf(name)}-problem" data-problem="${name}" hidden></p>`;
