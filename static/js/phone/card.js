import { counted } from "../lib/ages.js";
import { html } from "../lib/html.js";
import { labelOf } from "./labels.js";
import { kindOf, placeOf, whenOf } from "./naming.js";

/** @typedef {import("../outbox/queue.js").Row} Row */

/**
 * One record that needs a hand: what it is, what the server says of it, what can be done.
 * @param {Row} row
 * @param {Row[]} rows all that the phone holds
 * @param {number} now
 * @param {import("./labels.js").Labels} [labels]
 */
export function cardMarkup(row, rows, now, labels = []) {
  const isRefused = row.saved === "refused";
  const place = placeOf(row.record, rows);
  const problems = row.problems.map((each) => problem(each, row.record?.kind, labels));
  return html`
    <h3 tabindex="-1">${kindOf(row.record)}${place ? html`: ${place}` : ""}</h3>
    <p class="tray__when">${whenOf(row.record)}</p>
    <p class="tray__state">${isRefused ? "Refused by the server" : "The server failed on it"}</p>
    ${problems.length ? html`<ul class="tray__problems">${problems}</ul>` : ""}
    ${row.tries ? html`<p>${tried(row, now)}</p>` : ""}
    ${
      row.before?.length
        ? html`<details class="more"><summary>As it was before it was mended</summary>${row.before.map(
            (text) => html`<pre class="text">${JSON.stringify(text, null, 2)}</pre>`,
          )}</details>`
        : ""
    }
    <div class="tray__ways">
      <button type="button" class="button" data-do="mend">Mend</button>
      <button type="button" class="button button--quiet" data-do="send">Send again</button>
      <button type="button" class="button button--alarm" data-do="discard">Discard</button>
    </div>`;
}

/** @param {Row["problems"][number]} one @param {string} kind @param {import("./labels.js").Labels} labels */
const problem = ({ at, problem: sentence }, kind, labels) =>
  html`<li>${at ? html`<b>${labelOf(at, kind, labels)}:</b> ` : ""}${sentence}</li>`;

/** @param {{saved: string, tries?: number, not_before?: number}} row @param {number} now */
export function tried({ saved, tries, not_before: next }, now) {
  const words = `Tried ${counted(tries ?? 0, "time")}.`;
  if (saved === "refused" || !next || next <= now) return words;
  return `${words} Next try ${clock(next)}; the others go on without it.`;
}

/** @param {number} time */
const clock = (time) => new Date(time).toTimeString().slice(0, 5);

/**
 * What stands in place of a card that was discarded, as long as the page is open.
 * @param {Row} row
 * @param {Row[]} rows
 */
export function discardedMarkup(row, rows) {
  const place = placeOf(row.record, rows);
  return html`
    <h3 tabindex="-1">${kindOf(row.record)}${place ? html`: ${place}` : ""}</h3>
    <p>Discarded. It is nowhere now: not on this phone, not on the server. Undo works until this page is left.</p>
    <div class="tray__ways"><button type="button" class="button button--main" data-do="undo">Undo</button></div>`;
}
