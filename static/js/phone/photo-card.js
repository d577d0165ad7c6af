import { html } from "../lib/html.js";
import { tried } from "./card.js";
import { whenOf } from "./naming.js";

/**
 * @typedef {Omit<import("../outbox/photos.js").PhotoRow, "data"> & {record: Record<string, any>|null}} PhotoCard a
 *   photo
 *   and the record that speaks of it
 */

/** @type {Record<string, string>} */
const STATES = { refused: "Refused by the server", damaged: "Damaged on this phone" };
const NO_RECORD = "No record on this phone speaks of it, so it is not sent.";

/** @param {PhotoCard} photo @returns {boolean} whether it goes no more by itself, or the server fails on it */
export const needsHand = ({ saved, tries, record }) => saved !== "phone" || Boolean(tries) || !record;

/**
 * One photo that needs a hand: what it shows, what stands in its way, what can be done.
 * @param {PhotoCard} photo
 * @param {string|null} address of the picture, where it can be shown
 * @param {number} now
 */
export function photoCardMarkup(photo, address, now) {
  const { saved, problems, record, tries } = photo;
  return html`
    ${headMarkup(photo)}
    <p class="tray__state">${STATES[saved] ?? (record ? "The server failed on it" : "Not sent")}</p>
    <ul class="tray__problems">${problems.map(
      ({ problem }) => html`<li>${problem}</li>`,
    )}${record ? "" : html`<li>${NO_RECORD}</li>`}</ul>
    ${tries ? html`<p>${tried(photo, now)}</p>` : ""}
    ${
      address
        ? html`<img class="photo__picture" src="${address}" alt="${record?.body.what || "Photo without words"}">`
        : ""
    }
    <div class="tray__ways">
      ${
        saved === "damaged" || !record
          ? ""
          : html`<button type="button" class="button" data-do="send">Send again</button>`
      }
      <button type="button" class="button button--quiet" data-do="save">Save to a file</button>
      <button type="button" class="button button--alarm" data-do="discard">Discard</button>
    </div>`;
}

/** What stands in place of a card that was discarded, as long as the page is open. @param {PhotoCard} photo */
export function discardedPhotoMarkup(photo) {
  return html`
    ${headMarkup(photo)}
    <p>Discarded. It is nowhere now: not on this phone, not on the server. Undo works until this page is left.</p>
    <div class="tray__ways"><button type="button" class="button button--main" data-do="undo">Undo</button></div>`;
}

/** @param {PhotoCard} photo */
const headMarkup = ({
  record,
}) => html`<h3 tabindex="-1">Photo${record?.body.what ? html`: ${record.body.what}` : ""}</h3>
  ${record ? html`<p class="tray__when">${whenOf(record)}</p>` : ""}`;
