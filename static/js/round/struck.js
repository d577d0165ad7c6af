// What is due after an incident and shown on no screen of the round.
import { html } from "../lib/html.js";
import { dueWords } from "./steps.js";

/** @import { DueItem } from "../lib/due-items.js" */
/** @import { Rig } from "../rig/rig-of.js" */

/** @param {DueItem} item */
export const isOutside = ({ thing }) => ["insulation", "cord-loaded"].includes(thing.what);

/** @param {Rig} rig @param {DueItem[]} items */
export const struckCards = ({ id, outlets: [first] }, items) =>
  items.map(
    (item) =>
      html`<p class="due-way"><a class="due-card" href="${
        item.thing.what === "cord-loaded" && first ? `/outlets/${first.id}` : `/changes/new#rig=${id}`
      }"><b>${item.thing.name}</b> <span>${dueWords(item)}</span></a></p>`,
  );
