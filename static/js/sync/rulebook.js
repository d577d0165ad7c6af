import { get, put } from "../outbox/db.js";
import { ask } from "./http.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {(rulebook: Rulebook) => Promise<void>} Check fails where a rulebook is damaged */

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
 * @param {Check} check
 * @returns {Promise<void>} done when there is one, or when there is none to be had
 */
export function loadRulebook(check) {
  loading ??= load(check).finally(() => {
    isSettled = true;
  });
  return loading;
}

/** @param {Check} check */
async function load(check) {
  const kept = await get("kept", "rulebook").catch(() => null);
  if (kept) await take(kept, check);
  const fetched = fetchRulebook(check);
  if (!current) await fetched;
}

/** @param {Check} check */
async function fetchRulebook(check) {
  try {
    const { status, body } = await ask("/rulebook.json");
    const came = /** @type {Rulebook} */ (/** @type {unknown} */ (body)); // held against its own id before it is used
    const isNew = status === 200 && came.id !== current?.id;
    if (isNew && (await take(came, check))) await put("kept", "rulebook", came);
  } catch (error) {
    console.warn("The rulebook could not be fetched.", error);
  }
}

/**
 * @param {Rulebook} candidate
 * @param {Check} check
 * @returns {Promise<boolean>} whether it is whole; a damaged one never replaces a whole one
 */
async function take(candidate, check) {
  try {
    await check(candidate);
  } catch (error) {
    console.error("A damaged rulebook is not used.", error);
    return false;
  }
  current = candidate;
  return true;
}
