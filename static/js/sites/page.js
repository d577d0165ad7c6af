// The site book as it is drawn: the list of places, and one of them.
import { html } from "../lib/html.js";
import { dayOf, spoken, spokenDay } from "../lib/times.js";
import { placeName, VERDICTS } from "../lib/words.js";
import { distanceText } from "./near.js";
import { voltsByHour } from "./places.js";
import { reportOf } from "./report.js";

/** @import { SiteCheck, Place } from "./places.js" */

const SHOWN = 5;
const KEPT_HERE = "Its position is kept on this phone alone, and is never sent.";

/** @param {string} key */
const addressOf = (key) => `#place=${encodeURIComponent(key)}`;
/** @param {Place} place */
const newest = ({ checks }) => /** @type {SiteCheck} */ (checks[0]); // a place is there because of a check

/**
 * @param {Place[]} places as they are to stand
 * @param {{lastYear: Place|null, away: Map<string, number>, all: number, isWhole?: boolean}} about how many checks each
 *   has is known of the whole book alone
 */
export function listMarkup(places, { lastYear, away, all, isWhole = true }) {
  if (!all)
    return html`<p class="empty">No pedestal is in the book yet. A check that names the campground or the site puts one
      in it.</p>`;
  return html`${
    lastYear
      ? html`<p class="notice">Same site as last year?
          <a class="button button--quiet" href="${addressOf(lastYear.key)}" data-last-year>${placeName(
            lastYear,
          )}</a></p>`
      : ""
  }<ul class="checks">${places.map((place) => placeCard(place, away.get(place.key), isWhole))}</ul>${
    places.length ? "" : html`<p class="empty">None of ${all} places has these words.</p>`
  }`;
}

/** @param {Place} place @param {number|undefined} metres @param {boolean} isWhole */
function placeCard(place, metres, isWhole) {
  const { record } = newest(place);
  const count = place.checks.length;
  const counted = isWhole ? [count === 1 ? "1 check" : `${count} checks`] : ["Checks"];
  return card(addressOf(place.key), record.body.judgement.verdict, [
    placeName(place),
    `${wordOf(record.body.judgement.verdict)}, ${spokenDay(dayOf(record.observed_at))}`,
    [...counted, ...(metres === undefined ? [] : [distanceText(metres)])].join(", "),
  ]);
}

/** @param {string} href @param {string} verdict @param {string[]} lines */
const card = (href, verdict, [first = "", ...lines]) =>
  html`<li><a class="check-card" href="${href}" data-verdict="${verdict}"><svg class="check-card__shape"
    aria-hidden="true"><use href="/static/shapes.svg#${verdict}"></use></svg><b
    class="check-card__word">${first}</b>${lines.map(
      (line) => html`<span class="check-card__when">${line}</span>`,
    )}</a></li>`;

/** @param {string} verdict */
const wordOf = (verdict) => VERDICTS[verdict] ?? "no verdict that is known here";

/**
 * @param {Place} place
 * @param {{hasPosition: boolean, ohmsOf: (met: SiteCheck) => string|null}} about
 */
export function placeMarkup(place, { hasPosition, ohmsOf }) {
  const loops = place.checks.flatMap((met) => {
    const ohms = ohmsOf(met);
    return ohms === null ? [] : [`${spokenDay(dayOf(met.record.observed_at))}: ${ohms}`];
  });
  return html`<p><a class="button button--quiet" href="#">All places</a></p>
    <h1 tabindex="-1">${placeName(place)}</h1>
    <p>What was found here before. It says nothing of today: check the outlet before you plug in.</p>
    <p><button type="button" class="button button--main" data-check>Check it now</button></p>
    <section class="reasons"><h2>Last verdicts</h2><ul class="checks">${place.checks
      .slice(0, SHOWN)
      .map(({ record }) =>
        card(`/checks/${record.id}`, record.body.judgement.verdict, [
          wordOf(record.body.judgement.verdict),
          `${record.body.check.outlet}, ${spoken(record.observed_at)}`,
        ]),
      )}</ul></section>
    ${hoursMarkup(place)}
    ${loopsMarkup(loops)}
    ${photosMarkup(place)}
    ${notesMarkup(place)}
    ${reportMarkup(place)}
    <section class="reasons"><h2>Where it is</h2>
      <p>${hasPosition ? KEPT_HERE : "Its position is not kept."}</p>
      <p>${
        hasPosition
          ? html`<button type="button" class="button button--quiet" data-forget>Forget it</button>`
          : html`<button type="button" class="button button--quiet" data-here>I stand here: keep it</button>`
      }</p></section>`;
}

/** @param {string[]} loops */
function loopsMarkup(loops) {
  if (!loops.length) return "";
  return html`<section class="reasons"><h2>Loop under a load</h2><ul>${loops
    .slice(0, SHOWN)
    .map((line) => html`<li>${line}</li>`)}</ul></section>`;
}

/** @param {Place} place */
function hoursMarkup(place) {
  const hours = voltsByHour(place);
  if (!hours.length) return "";
  return html`<section class="reasons"><h2>Volts by hour of the day</h2><dl class="readings">${hours.map(
    ({ hour, low, high, count }) =>
      html`<div><dt>${hour}:00 to ${hour}:59</dt><dd>${
        low === high ? `${low.toFixed(1)} V` : `${low.toFixed(1)} to ${high.toFixed(1)} V`
      }${count > 1 ? `, ${count} readings` : ""}</dd></div>`,
  )}</dl></section>`;
}

/** @param {Place} place */
function photosMarkup({ photos }) {
  if (!photos.length) return "";
  return html`<section class="reasons"><h2>Photos and what they show</h2><ul>${photos.map(
    ({ record }) =>
      html`<li><a class="button button--quiet" href="/checks/${record.subject}">${
        /** @type {{what?: string}} */ (record.body).what || "Without a note"
      }, ${spokenDay(dayOf(record.observed_at))}</a></li>`,
  )}</ul></section>`;
}

/** @param {Place} place */
const notesMarkup = ({ notes }) => html`<section class="reasons"><h2>Notes</h2><ul>${notes.map(
  ({ record }) =>
    html`<li>${/** @type {{note?: string}} */ (record.body).note}, ${spokenDay(dayOf(record.observed_at))}</li>`,
)}</ul>
    <div class="field"><label for="note">Worth knowing the next time</label><textarea id="note" maxlength="500"
      rows="2"></textarea></div>
    <p><button type="button" class="button button--quiet" data-note>Keep the note</button></p></section>`;

/** @param {Place} place */
function reportMarkup(place) {
  const met = newest(place);
  return html`<section class="reasons" data-report><h2>Report to the park’s office</h2>
    <p>The readings of ${spokenDay(dayOf(met.record.observed_at))} as text: nobody’s name, no judgement.</p>
    <p class="sites__ways"><button type="button" class="button" data-share>Hand it on</button> <button type="button"
      class="button button--quiet" data-copy>Copy it</button> <a class="button button--quiet" data-pdf
      href="/sites/reports/${met.id}.pdf">As a PDF</a></p>
    <div class="field"><label for="report">The text</label>
    <textarea id="report" class="site-report" rows="14" readonly>${reportOf(place, met)}</textarea></div>
    <p role="status" data-part="said"></p></section>`;
}
