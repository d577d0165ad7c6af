// What is due after an incident and shown on no screen of the round.
import { html } from "../lib/html.js";
import { dueWords } from "./steps.js";

/** @import { DueItem } from "../lib/due-items.js" */
/** @import { Rig } from "../rig/rig-of.js" */

/** @param {DueItem} item */
export const isOutside = ({ thing }) =>
  ["insulation", "cord-loaded"].includes(thing.what) || (thing.what === "set" && !thing.subject);

/** @param {Rig} rig @param {DueItem[]} items */
export const struckCards = (rig, items) =>
  items.map(
    (item) =>
      html`<p class="due-way"><a class="due-card" href="${wayTo(rig, item.thing.what)}"><b>${item.thing.name}</b> <span>${dueWords(item)}</span></a></p>`,
  );

/** @param {Rig} rig @param {string} what */
function wayTo({ id, outlets: [first] }, what) {
  if (what === "set") return `/sets/new#rig=${id}`;
  return what === "cord-loaded" && first ? `/outlets/${first.id}` : `/changes/new#rig=${id}`;
}
