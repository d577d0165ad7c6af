// What an incident made due, each thing with what clears it and the way there.
import { html } from "../lib/html.js";

/** @import { DueItem } from "../lib/due-items.js" */
/** @import { Rig } from "../rig/rig-of.js" */

/** @type {Record<string, string>} */
const SORTS = {
  ground: ": its ground",
  "outlet-loaded": ": under load",
  "outlet-look": ": cover, cable and wet",
};

/** What is shown unplugged comes before the power, and the skin before anything that is touched. */
const ORDER = [
  "set",
  "set-fixed",
  "cord",
  "ground",
  "insulation",
  "surge",
  "skin",
  "device",
  "outlet",
  "outlet-look",
  "alarms",
];

/** @param {DueItem} item @returns {number} what is loaded comes last */
const placeOf = ({ thing }) => (ORDER.indexOf(thing.what) + ORDER.length + 1) % (ORDER.length + 1);

/**
 * @param {Rig} rig
 * @param {DueItem[]} items that an incident made due
 */
export function struckMarkup(rig, items) {
  if (!items.length) return html`<p>It makes nothing due that is noted of this rig.</p>`;
  return html`<h2>Due before it is used again</h2>
    <p>In this order: unplugged first, then the skin before anything is touched, then the rest.</p>
    <ul class="due">${[...items]
      .sort((a, b) => placeOf(a) - placeOf(b))
      .map(
        ({ thing }) =>
          html`<li><a class="due-card" href="${wayTo(rig, thing)}"><b>${thing.name}${
            SORTS[thing.what] ?? ""
          }</b> <span>until ${thing.struck?.clears}</span></a></li>`,
      )}</ul>`;
}

/** @param {Rig} rig @param {DueItem["thing"]} thing @returns {string} */
function wayTo({ id, outlets }, { what, subject }) {
  const [first] = outlets;
  if (what === "ground") return `/grounds#rig=${id}`;
  if (what === "insulation") return `/changes/new#rig=${id}`;
  if (what === "outlet-loaded") return `/outlets/${subject}`;
  if (what === "cord-loaded") return first ? `/outlets/${first.id}` : `/rigs/${id}`;
  if (what === "set" || what === "set-fixed")
    return subject ? `/round#rig=${id}&at=set-${subject}` : `/sets/new#rig=${id}`;
  if (what === "outlet-look") return `/round#rig=${id}&at=look-${subject}`;
  return subject ? `/round#rig=${id}&${what}=${subject}` : `/round#rig=${id}&at=look-${what}`;
}
