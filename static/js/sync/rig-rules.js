import { get, put } from "../outbox/db.js";
import { ask } from "./http.js";

/** @typedef {import("../../../schemas/shapes/rig-rules.d.ts").RigRules} RigRules */

const TABLES = ["due", "looks", "proving"];

/** @type {Promise<RigRules|null>|null} */
let loading = null;

/**
 * Gives the rules of a rig: the kept ones at once, while the server's are fetched for the next time; else the server's.
 * @returns {Promise<RigRules|null>} null where there are none to be had; asked again, it tries again
 */
export function rigRules() {
  loading ??= load().then((rules) => {
    if (!rules) loading = null;
    return rules;
  });
  return loading;
}

async function load() {
  const kept = await get("kept", "rig-rules").catch(() => null);
  const fetched = fetchRules();
  return isWhole(kept) ? kept : fetched;
}

/** A damaged answer never replaces what is kept. @returns {Promise<RigRules|null>} */
async function fetchRules() {
  try {
    const { status, body } = await ask("/rig-rules.json");
    if (status !== 200 || !isWhole(body)) return null;
    await put("kept", "rig-rules", body);
    return body;
  } catch (error) {
    console.warn("The rules of the rig could not be fetched.", error);
    return null;
  }
}

/** @param {any} rules as they were kept or came @returns {rules is RigRules} */
const isWhole = (rules) =>
  TABLES.every(
    (name) =>
      Array.isArray(rules?.[name]) && rules[name].every((/** @type {any} */ rule) => typeof rule.id === "string"),
  );
