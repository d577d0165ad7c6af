import { get, put, remove } from "../outbox/db.js";
import { remembered } from "../outbox/remembered.js";

/**
 * @typedef {object} Draft
 * @property {import("./entries.js").Values} values
 * @property {string} step the one on screen
 * @property {string} reached the furthest one
 * @property {Record<string, {id: string, told: string}>} saved records already kept, by kind, with what they told
 * @property {number} [touched] when it was last written, in milliseconds
 */

/** What is offered again at the next check. */
const OFFERED = ["place.park", "place.site", "by", "meter.input", "meter.accuracy_percent", "meter.accuracy_volts", "ready.category"];

/** @type {import("./entries.js").Values} */
const FIRST = {
  supply: "utility",
  by: "meter",
  "meter.input": "high-impedance",
  "meter.accuracy_percent": "1.0",
  "meter.accuracy_volts": "0.3",
  "ready.category": "",
  "skin.by": "meter",
};

/** @returns {Promise<Draft>} a draft with the values remembered from last time */
export async function newDraft() {
  const kept = await remembered().catch(() => ({}));
  const offered = OFFERED.filter((name) => name in kept).map((name) => [name, kept[name]]);
  const lamps = kept.lamps ? { ...kept.lamps, lamps_known: "yes" } : {};
  return { values: { ...FIRST, ...Object.fromEntries(offered), ...lamps }, step: "", reached: "", saved: {} };
}

/** @param {import("./entries.js").Values} values @returns {Record<string, any>} what is worth remembering of them */
export function worthRemembering(values) {
  const lamps = Object.fromEntries(["h-n", "h-g", "n-g"].map((pair) => [`lamp.${pair}.called`, values[`lamp.${pair}.called`] ?? ""]));
  const asked = values.by === "lamps" || values.by === "both";
  return { ...Object.fromEntries(OFFERED.map((name) => [name, values[name] ?? ""])), ...(asked && { lamps }) };
}

/** @param {string} page @returns {Promise<Draft|undefined>} */
export async function loadDraft(page) {
  const kept = await get("drafts", page).catch(() => undefined);
  const left = leftBehind(page);
  return left && !(kept?.touched > left.touched) ? left : kept;
}

/** @param {string} page @param {Draft} draft */
export function saveDraft(page, draft) {
  draft.touched = Date.now();
  return put("drafts", page, draft);
}

/** @param {string} page */
export function dropDraft(page) {
  quietly(() => sessionStorage.removeItem(LEFT + page));
  return remove("drafts", page);
}

// A page that is left takes with it what its store has not written yet, so the last keystroke is left here as well, at once.
const LEFT = "fieldlog-draft:";

/** @param {string} page @param {Draft} draft */
export function leaveDraft(page, draft) {
  quietly(() => sessionStorage.setItem(LEFT + page, JSON.stringify(draft)));
}

/** @param {string} page @returns {Draft|null} */
function leftBehind(page) {
  return quietly(() => JSON.parse(sessionStorage.getItem(LEFT + page) ?? "null"));
}

/** A browser may refuse this storage, or have it full; the draft in the phone's own store is then all there is. */
function quietly(act) {
  try {
    return act();
  } catch (error) {
    console.warn(error);
    return null;
  }
}
