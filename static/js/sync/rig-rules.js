import { get, put } from "../outbox/db.js";
import { ask } from "./http.js";

/**
 * @typedef {object} RigRules entries of tables, each with its words and its source
 * @property {Record<string, any>[]} due what comes round, and when
 * @property {Record<string, any>[]} looks what is looked at
 * @property {Record<string, any>[]} proving how a change is proved
 * @property {import("../../../schemas/shapes/rig-rules.d.ts").RigRules["labels"]} [labels] what each place is called
 */

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

const isWhole = (rules) =>
  TABLES.every((name) => Array.isArray(rules?.[name]) && rules[name].every(({ id }) => typeof id === "string"));
