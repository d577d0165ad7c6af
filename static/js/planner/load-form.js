// The screen on which a load is told: one of the map, or one that hangs on no map.
import { html } from "../lib/html.js";
import { uuid7 } from "../lib/uuid7.js";
import { LOAD } from "./ranges.js";
import { numberOf, problemsIn } from "./state.js";

/** @import { MapBranches } from "./map-loads.js" */
/** @import { LoadEntry, RigEntries } from "./state.js" */
/** @import { Item } from "./work.js" */

const NAMES = /** @type {const} */ (["watts", "kind", "multiple", "continuous", "priority", "hours", "direct"]);

/**
 * What the form begins with.
 * @param {Item|null} item none where it is new
 * @returns {Record<string, string>}
 */
export function valuesOf(item) {
  const usual = { watts: item?.watts ? String(item.watts) : "", priority: "2" };
  const continuous = item?.isContinuous ? "yes" : "";
  const told = Object.fromEntries(NAMES.map((name) => [name, item?.told[name] ?? ""]));
  const blank = Object.entries({ ...usual, continuous }).filter(([name]) => !told[name]);
  return { ...told, ...Object.fromEntries(blank), name: item?.name ?? "", at: item?.at ?? "" };
}

/** @param {MapBranches} hung where something can be plugged in */
export const whereMarkup = ({ places }) =>
  places.length
    ? html`<label for="at">Plugged into</label>
        <select id="at" name="at"><option value="">Not noted</option>${places.map(
          ({ id, name }) => html`<option value="${id}">${name}</option>`,
        )}</select>`
    : html``;

/**
 * @param {Record<string, string>} told
 * @param {boolean} isAdded
 * @returns {Record<string, string>} what is wrong, by field
 */
export function problemsOf(told, isAdded) {
  const found = problemsIn(told, LOAD);
  if (isAdded && !told.name?.trim()) found.name = "Say what it is.";
  if (!told.watts?.trim()) found.watts = "Type the watts from its plate, such as 700.";
  return found;
}

/**
 * Keeps what was told, with a dot in its numbers.
 * @param {RigEntries} own changed
 * @param {string|null} id of the load; null where it is new
 * @param {Record<string, string>} told
 */
export function keepLoad(own, id, told) {
  const known = own.added.find((each) => each.id === id);
  const kept = id ?? uuid7();
  const name = (told.name ?? "").trim().slice(0, 60);
  if (!id) own.added.push({ id: kept, name, at: told.at ?? "" });
  else if (known) Object.assign(known, { name, at: told.at ?? "" });
  own.loads[kept] = /** @type {LoadEntry} */ (
    Object.fromEntries(NAMES.map((each) => [each, plain(each, told[each] ?? "")]))
  );
}

/** @param {string} name @param {string} text */
function plain(name, text) {
  const range = LOAD[name];
  return range ? String(numberOf(text, range) ?? "") : text;
}

/** @param {RigEntries} own changed @param {string} id */
export function removeLoad(own, id) {
  own.added = own.added.filter((each) => each.id !== id);
  own.off = own.off.filter((each) => each !== id);
  delete own.loads[id];
}
