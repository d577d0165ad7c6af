import { partOf } from "../lib/part-of.js";
import { current } from "../outbox/chains.js";
import { newestRows } from "../outbox/newest.js";
import { sync } from "../sync/flush.js";

/** @import { RecordOutlet } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "./entries.js" */

/**
 * Finds the outlet of a rig that this page tests, and says its name on the page.
 * @param {HTMLElement} element with the outlet's id in its address
 * @param {Values} values
 * @returns {Promise<{id: string, rig: string}|null>} null where this phone does not know it
 */
export async function outletOnRig(element, values) {
  const id = location.pathname.split("/").at(-1) ?? "";
  const found = (await find(id)) ?? (await sync().then(() => find(id)));
  if (!found) {
    partOf(element, "[data-part=unknown-outlet]").hidden = false;
    return null;
  }
  const { body, rig } = /** @type {RecordOutlet} */ (found.record);
  partOf(element, "[data-part=outlet-name]").textContent = body.name;
  values.outlet ||= body.outlet;
  return { id, rig };
}

/** @param {string} id of the outlet's first record */
async function find(id) {
  const rows = await newestRows();
  const ids = new Set([id]);
  for (const row of rows) if (ids.has(row.record.corrects ?? "")) ids.add(row.id);
  return current(rows).find((row) => row.record.kind === "outlet" && ids.has(row.id));
}
