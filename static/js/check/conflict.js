// Two corrections of one record, made on two phones that did not know of each other. Both are kept until one is chosen.
import { html } from "../lib/html.js";
import { localIso, spoken } from "../lib/times.js";
import { VERDICTS } from "../lib/words.js";

/** @import { BodyArrivalCheck, BodyOutletTest } from "../../../schemas/shapes/record.d.ts" */
/** @import { Row } from "../outbox/rows.js" */
/** @typedef {BodyArrivalCheck|BodyOutletTest} CheckBody */

/** What is said of such a check in a list and on its page. */
export const SIDE_BY_SIDE = "Corrected twice, on two phones";

const REASON = "Of corrections made on two phones, this one was chosen.";

/**
 * Shows the corrections side by side, each with its verdict, time and reason, and a button that chooses it.
 * @param {Row[]} leaves more than one
 * @param {(body: CheckBody) => unknown} readings shows what was entered
 */
export function conflictMarkup(leaves, readings) {
  const counts = leaves.at(-1);
  return html`<section class="reasons conflict"><h2>${SIDE_BY_SIDE}</h2>
    <p>Both are kept. The one that was made last, by the phones’ clocks, counts until you choose.</p>
    <ol class="conflict__sides">${leaves.map((row) => side(row, row === counts, readings))}</ol></section>`;
}

/**
 * @param {Row} row
 * @param {boolean} counts
 * @param {(body: CheckBody) => unknown} readings
 */
function side({ id, record }, counts, readings) {
  const body = /** @type {CheckBody} */ (record.body);
  const { verdict } = body.judgement;
  return html`<li class="conflict__side">
    <p class="conflict__word"><svg class="conflict__shape" aria-hidden="true"><use
      href="/static/shapes.svg#${verdict}"></use></svg>${VERDICTS[verdict] ?? "Not known"}${
        counts ? " · counts now" : ""
      }</p>
    <p>${spoken(madeAt(id))}${record.made_by ? ` by ${record.made_by}` : ""}</p>
    <p><b>Reason:</b> ${record.reason ?? "none given"}</p>
    <details class="more"><summary>What was entered</summary>${readings(body)}</details>
    <button type="button" class="button button--quiet button--wide" data-settle="${id}">This one counts</button>
  </li>`;
}

/** A number begins with the time at which it was made. @param {string} id @returns {string} */
const madeAt = (id) => localIso(new Date(parseInt(id.replaceAll("-", "").slice(0, 12), 16)));

/**
 * Makes the members of the correction that settles it: the chosen text again, which corrects all that stand side by
 * side.
 * @param {Row} chosen
 * @param {Row[]} leaves
 * @returns {Row["record"] & Record<string, any>}
 */
export function settling(chosen, leaves) {
  const others = leaves.filter(({ id }) => id !== chosen.id).map(({ id }) => id);
  return { ...chosen.record, corrects: chosen.id, also_corrects: others, reason: REASON };
}
