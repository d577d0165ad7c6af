// Questions of a round; nothing is chosen beforehand but what was answered before.
import { html } from "../lib/html.js";

/** @typedef {import("./answers.js").Answers} Answers */

/**
 * @param {string} name
 * @param {unknown} legend
 * @param {[string, unknown][]} options value and label
 * @param {Answers} answers
 * @param {{look?: string, hint?: string, when?: string}} [how]
 */
export function choices(name, legend, options, answers, { look = String(options.length), hint = "", when = "" } = {}) {
  return html`<fieldset class="field choices choices--${look}" aria-describedby="${name}-problem"${
    when ? html` data-when="${when}"` : ""
  }><legend>${legend}</legend>
    ${hint ? html`<p class="hint">${hint}</p>` : ""}
    <div class="choices__options">${options.map(([value, label]) =>
      choice(name, value, label, answers),
    )}</div>${problem(name)}</fieldset>`;
}

/** @param {string} name @param {string} value @param {unknown} label @param {Answers} answers */
export function choice(name, value, label, answers) {
  return html`<label class="choice"><input type="radio" name="${name}" value="${value}"${
    answers[name] === value ? html` checked` : ""
  }><span class="choice__label">${label}</span></label>`;
}

/**
 * A thing and its answers in one row.
 * @param {string} name
 * @param {string} label
 * @param {[string, string][]} options
 * @param {Answers} answers
 */
export function row(name, label, options, answers) {
  return html`<fieldset class="round-row"><legend>${label}</legend>${options.map(([value, said]) =>
    choice(name, value, said, answers),
  )}</fieldset>`;
}

/** @param {string} name */
export const problem = (name) => html`<p class="problem" id="${name}-problem" data-problem="${name}" hidden></p>`;
