import { get, put } from "../outbox/db.js";
import { askText } from "./http.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/**
 * @typedef {(text: string) => Promise<Rulebook>} RulebookReader gives what a text holds; fails where that is damaged
 */

/** @type {Rulebook|null} */
let current = null;

/** @type {Promise<void>|null} */
let loading = null;

let isSettled = false;

/** @returns {boolean} whether it has been opened, or there is none to be had; until then what asks it waits */
export function isRulebookSettled() {
  return isSettled;
}

/** @returns {Rulebook|null} the rulebook, if it has been loaded */
export function rulebook() {
  return current;
}

/**
 * Loads the rulebook: the kept one at once, then the server's, which replaces it.
 * @param {RulebookReader} read
 * @returns {Promise<void>} done when there is one, or when there is none to be had
 */
export function loadRulebook(read) {
  loading ??= load(read).finally(() => {
    isSettled = true;
  });
  return loading;
}

/** @param {RulebookReader} read */
async function load(read) {
  const kept = await get("kept", "rulebook").catch(() => null);
  if (kept) await take(typeof kept === "string" ? kept : JSON.stringify(kept), read);
  const fetched = fetchRulebook(read, kept);
  if (!current) await fetched;
}

/** @param {RulebookReader} read @param {unknown} kept */
async function fetchRulebook(read, kept) {
  try {
    const { status, text } = await askText("/rulebook.json");
    if (status !== 200 || text === null) return;
    const isNew = !current || text !== kept;
    if (isNew && (await take(text, read))) await put("kept", "rulebook", text);
  } catch (error) {
    console.warn("The rulebook could not be fetched.", error);
  }
}

/**
 * @param {string} text
 * @param {RulebookReader} read
 * @returns {Promise<boolean>} whether it is whole; a damaged one never replaces a whole one
 */
async function take(text, read) {
  try {
    current = await read(text);
  } catch (error) {
    console.error("A damaged rulebook is not used.", error);
    return false;
  }
  return true;
}
