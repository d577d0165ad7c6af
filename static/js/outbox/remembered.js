import { get, put } from "./db.js";

/**
 * Values offered again at the next check: place, meter, lamps.
 * @returns {Promise<Record<string, any>>}
 */
export async function remembered() {
  return (await get("remembered", "check")) ?? {};
}

/** @param {Record<string, any>} values added to what is remembered */
export async function remember(values) {
  await put("remembered", "check", { ...(await remembered()), ...values });
}
