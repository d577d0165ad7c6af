import { html } from "../lib/html.js";

/** @import { Field, formOf } from "./mending.js" */
/** @typedef {ReturnType<typeof formOf>["elsewhere"]} OtherProblems */
/** @typedef {Pick<Field, "at"|"typed"> & {id: string}} Entry */

/**
 * The form in which a record is mended: by fields, or as text.
 * @param {ReturnType<typeof formOf>} form
 * @param {{isText: boolean, index: string}} how index: tells this form from others on the page
 */
export function mendMarkup({ fields, elsewhere, others }, { isText, index }) {
  return html`<form class="mend" novalidate>
    <h4 tabindex="-1">Mend this record</h4>
    ${isText ? asText(fields, elsewhere, index) : byFields(fields, elsewhere, index)}
    ${
      isText
        ? ""
        : html`<details class="more"><summary>Everything else in it</summary><dl class="readings">${others.map(
            ([name, value]) => html`<div><dt>${name}</dt><dd>${value}</dd></div>`,
          )}</dl></details>
      <button type="button" class="button button--quiet button--wide" data-text>Open it as text</button>`
    }
    <p class="hint">It keeps its place in the log. As it was before stays on this phone.</p>
    ${problemMarkup("form", `${index}-form`)}
    <div class="tray__ways"><button type="submit" class="button button--main">Save and queue again</button>
    <button type="button" class="button button--quiet" data-leave>Leave it as it was</button></div>
  </form>`;
}

/** @param {Field[]} fields @param {OtherProblems} elsewhere @param {string} index */
function byFields(fields, elsewhere, index) {
  return html`${fields.map((field, i) => fieldMarkup(field, `${index}-${i}`))}
    ${elsewhere.length ? html`<p>No field reaches this; open it as text:</p>${told(elsewhere)}` : ""}`;
}

/** @param {Field[]} fields @param {OtherProblems} elsewhere @param {string} index */
function asText(fields, elsewhere, index) {
  const all = [
    ...fields.flatMap(({ label, sentences }) => sentences.map((sentence) => ({ label, sentence }))),
    ...elsewhere,
  ];
  return html`${told(all)}<div class="field"><label for="${index}-text">The record as text</label>
    <textarea class="text" id="${index}-text" name="text" rows="16" spellcheck="false" autocapitalize="off"
      autocomplete="off" aria-describedby="${index}-text-problem"></textarea>
    ${problemMarkup("text", `${index}-text-problem`)}</div>`;
}

/** @param {OtherProblems} all */
const told = (all) =>
  html`<ul class="tray__problems">${all.map(
    ({ label, sentence }) => html`<li><b>${label}:</b> ${sentence}</li>`,
  )}</ul>`;

/** @param {Field} field @param {string} id */
function fieldMarkup({ at, label, typed, choices, sentences }, id) {
  const said = html`<p class="problem" id="${id}-said">${sentences.join(" ")}</p>`;
  if (choices) return choicesMarkup({ at, label, typed, choices, said, id });
  return html`<div class="field"><label for="${id}">${label}</label>${said}${entry({ at, typed, id })}</div>`;
}

/**
 * What the server wants removed is offered as taken out.
 * @param {Entry & {label: string, choices: [string, string][], said: unknown}} field
 */
function choicesMarkup({ at, label, typed, choices, said, id }) {
  const offered = typed === "keep" ? "out" : typed;
  return html`<fieldset class="field choices choices--2"
    aria-describedby="${id}-said"><legend>${label}</legend>${said}<div class="choices__options">
    ${choices.map(
      ([value, word]) =>
        html`<label class="choice"><input type="radio" name="${at}" value="${value}" ${
          value === offered ? "checked" : ""
        }><span class="choice__label">${word}</span></label>`,
    )}</div></fieldset>`;
}

/** @param {Entry} field */
function entry({ at, typed, id }) {
  if (typed.length > 60)
    return html`<textarea id="${id}" name="${at}" rows="5" aria-describedby="${id}-said">${typed}</textarea>`;
  return html`<input type="text" id="${id}" name="${at}" value="${typed}" autocomplete="off"
    aria-describedby="${id}-said">`;
}

/** @param {string} name @param {string} id */
const problemMarkup = (name, id) => html`<p class="problem" id="${id}" data-problem="${name}" role="alert" hidden></p>`;
