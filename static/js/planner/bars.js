// A figure against its limits, as a bar and in words.
import { html } from "../lib/html.js";

/**
 * @typedef {object} Bar
 * @property {string} name
 * @property {string} value in words, with its unit
 * @property {number} at
 * @property {[number, number]} [spread] least and most of it
 * @property {number} from where the bar begins
 * @property {number} to where it ends
 * @property {{at: number, says: string}[]} marks limits
 * @property {boolean} isOver whether it is beyond a limit
 * @property {string} says how it stands to its limits
 */

const WIDTH = 300;

/** @param {Bar} bar */
export function barMarkup({ name, value, at, spread, from, to, marks, isOver, says }) {
  /** @param {number} each */
  const x = (each) => Math.round((WIDTH * (Math.min(Math.max(each, from), to) - from)) / (to - from));
  return html`<div class="bar-of"${isOver ? html` data-over` : ""}>
    <p class="bar-of__words"><span>${name}</span> <b>${value}</b></p>
    <svg class="bar-of__drawing" viewBox="0 0 ${WIDTH} 26" preserveAspectRatio="none" aria-hidden="true">
      <rect class="bar-of__ground" x="0" y="5" width="${WIDTH}" height="16"></rect>
      <rect class="bar-of__value" x="0" y="5" width="${x(at)}" height="16"></rect>
      ${
        spread
          ? html`<rect class="bar-of__spread" x="${x(spread[0])}" y="10" width="${Math.max(
              2,
              x(spread[1]) - x(spread[0]),
            )}" height="6"></rect>`
          : ""
      }
      ${marks.map((mark) => html`<rect class="bar-of__mark" x="${x(mark.at) - 2}" y="0" width="4" height="26"></rect>`)}
    </svg>
    <p class="hint">${says}</p>
  </div>`;
}
