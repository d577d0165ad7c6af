// Puts the faces of the outlet into a screen, turned as the person sees them.
import { html, show } from "../lib/html.js";
import { textAt } from "./entries.js";
import { FACES, faceMarkup, facingText, tipsText } from "./faces.js";

/** @import { Values } from "./entries.js" */

/**
 * Fills the places for pictures: data-facing names the pair that is marked, data-facing-outlet an outlet to choose,
 * data-facing-line is where the picture is turned.
 * @param {ParentNode} root
 * @param {Values} values
 */
export function showFaces(root, values) {
  const { outlet = "" } = values;
  const turns = turnsOf(values, outlet);
  for (const place of placesIn(root, "[data-facing-outlet]")) {
    const shown = place.dataset.facingOutlet ?? "";
    show(place, faceMarkup(shown, { turns: turnsOf(values, shown), isNamed: false }));
  }
  for (const place of placesIn(root, "[data-facing]"))
    show(place, faceMarkup(outlet, { turns, pair: place.dataset.facing ?? "" }));
  for (const place of placesIn(root, "[data-facing-line]")) show(place, lineMarkup(outlet, turns, place.dataset));
}

/** @param {ParentNode} root @param {string} selector @returns {HTMLElement[]} */
const placesIn = (root, selector) =>
  [...root.querySelectorAll(selector)].filter((place) => place instanceof HTMLElement);

/** @param {string} outlet @param {number} turns @param {DOMStringMap} asked */
function lineMarkup(outlet, turns, { facingLine: pair }) {
  if (!FACES[outlet]) return html``;
  const tips = pair ? tipsText(outlet, pair, turns).map((tip) => html`<p>${tip}</p>`) : "";
  return html`${tips}<p class="hint">${facingText(turns)}</p><button type="button" class="button button--quiet"
    data-turn>Turn the picture</button>`;
}

/** @param {Values} values @param {string} outlet @returns {number} quarter turns clockwise from the ground hole down */
const turnsOf = (values, outlet) => Number(textAt(values, `turns.${outlet}`) || (FACES[outlet]?.turns ?? 0));

/** Turns the picture by a quarter, for this check. @param {Values} values changed */
export function turnFace(values) {
  const { outlet = "" } = values;
  Object.assign(values, { [`turns.${outlet}`]: String((turnsOf(values, outlet) + 1) % 4) });
}
