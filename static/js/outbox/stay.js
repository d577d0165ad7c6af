import { get, put } from "./db.js";

/** Asks the browser, once, not to clear away what is on this phone. It may refuse; nothing waits for its answer. */
export async function askToStay() {
  try {
    if (!navigator.storage?.persist || (await get("kept", "asked_to_stay"))) return;
    await put("kept", "asked_to_stay", true);
    await navigator.storage.persist();
  } catch (error) {
    console.warn("The browser was not asked to keep the store.", error);
  }
}
