// What stands at the top of a verdict, and in its place where there is none.
import { html } from "../lib/html.js";

/**
 * Where there is no verdict the page says so and looks like none.
 * @param {string} sentence
 * @param {"h1"|"h2"} [heading]
 */
export function failureMarkup(sentence, heading = "h1") {
  return html`<div class="verdict verdict--none" data-no-verdict>
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#none"></use></svg>
    ${titleMarkup("No verdict", heading)}
    <p class="verdict__sentence">${sentence}</p>
  </div>`;
}

/** @param {string} word @param {"h1"|"h2"} heading */
export const titleMarkup = (word, heading) =>
  heading === "h1"
    ? html`<h1 class="verdict__word" tabindex="-1">${word}</h1>`
    : html`<h2 class="verdict__word">${word}</h2>`;
