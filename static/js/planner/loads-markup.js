// The loads as switches, under the breaker that they hang on, and what is told of each.
import { html } from "../lib/html.js";
import { bindingOf } from "./map-loads.js";

/** @import { Item } from "./work.js" */

/** @type {Record<string, string>} */
export const KINDS = { resistive: "heats", motor: "motor", electronic: "electronics" };

/** @param {Item[]} items all that have power, with watts or without */
export function loadsMarkup(items) {
  /** @type {Map<string, Item[]>} */
  const groups = new Map();
  for (const item of items) {
    const title = groupOf(item);
    groups.set(title, [...(groups.get(title) ?? []), item]);
  }
  return html`${[...groups].map(
    ([title, group]) =>
      html`<section class="plan-group"><h3>${title}</h3><ul class="plan-loads">${group.map(loadMarkup)}</ul></section>`,
  )}`;
}

/** @param {Item} item */
function groupOf({ hung: { rated, from }, isAdded, at }) {
  const breaker = rated.find(({ what }) => what === "breaker");
  if (breaker) return `${breaker.name}, ${breaker.amps} A`;
  return isAdded && !at ? "Plugged in, not on the map" : `On the ${from}, no breaker between`;
}

/** @param {Item} item */
function loadMarkup({ id, name, watts, isOn, told, hung }) {
  const binding = bindingOf(hung.rated);
  const kind = KINDS[told.kind ?? ""] ?? "kind not noted";
  return html`<li class="plan-load">
    <label class="choice choice--tick"><input type="checkbox" name="on" value="${id}"${
      watts === null ? html` disabled` : isOn ? html` checked` : ""
    }><span class="choice__label"><b>${name}</b><br><small>${
      watts === null ? "watts not noted" : html`${watts} W · ${kind}`
    }</small></span></label>
    <a class="button button--quiet plan-load__more" href="#load=${id}">${watts === null ? "Note watts" : "Change"}<span
      class="visually-hidden">: ${name}</span></a>
    ${
      binding
        ? html`<p class="hint">Held by ${binding.name}: ${binding.amps} A${guarded(hung.guards)}</p>`
        : html`<p class="hint">No rating noted on its way${guarded(hung.guards)}</p>`
    }
  </li>`;
}

/** @param {string[]} guards */
const guarded = ([nearest]) => (nearest ? `; guarded by ${nearest}` : "; no GFCI on its way by the map");
