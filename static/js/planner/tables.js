import { get, put } from "../outbox/db.js";
import { ask } from "../sync/http.js";

/** @import { Tables } from "../engine/plan-circuit.js" */

/** @type {Promise<Tables|null>|null} */
let loading = null;

/**
 * Gives the tables of a plan: the kept ones at once, while the server's are fetched for the next time; else the
 * server's.
 * @returns {Promise<Tables|null>} null where there are none to be had; asked again, it tries again
 */
export function planTables() {
  loading ??= load().then((tables) => {
    if (!tables) loading = null;
    return tables;
  });
  return loading;
}

async function load() {
  const kept = await get("kept", "plan-tables").catch(() => null);
  const fetched = fetchTables();
  return isWhole(kept) ? kept : fetched;
}

/** A damaged answer never replaces what is kept. @returns {Promise<Tables|null>} */
async function fetchTables() {
  try {
    const { status, body } = await ask("/plan-tables.json");
    if (status !== 200 || !isWhole(body)) return null;
    await put("kept", "plan-tables", body);
    return body;
  } catch (error) {
    console.warn("The tables of a plan could not be fetched.", error);
    return null;
  }
}

/** @param {any} tables as they were kept or came @returns {tables is Tables} */
const isWhole = (tables) =>
  Number.isFinite(tables?.["low-stop"]?.value) && typeof tables["over-limit"]?.says === "string";
