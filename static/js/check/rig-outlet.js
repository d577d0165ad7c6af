import { current } from "../outbox/chains.js";
import { allRows } from "../outbox/queue.js";
import { sync } from "../sync/flush.js";

/**
 * Finds the outlet of a rig that this page tests, and says its name on the page.
 * @param {HTMLElement} element with the outlet's id in its address
 * @param {import("./entries.js").Values} values
 * @returns {Promise<{id: string, rig: string}|null>} null where this phone does not know it
 */
export async function outletOnRig(element, values) {
  const id = location.pathname.split("/").at(-1);
  const found = (await find(id)) ?? (await sync().then(() => find(id)));
  const title = element.querySelector("[data-part=outlet-name]");
  if (!found) {
    element.querySelector("[data-part=unknown-outlet]").hidden = false;
    return null;
  }
  title.textContent = found.record.body.name;
  values.outlet ||= found.record.body.outlet;
  return { id, rig: found.record.rig };
}

/** @param {string} id of the outlet's first record */
async function find(id) {
  const rows = await allRows();
  const ids = new Set([id]);
  for (const row of rows) if (ids.has(row.record.corrects)) ids.add(row.id);
  return current(rows).find((row) => row.record.kind === "outlet" && ids.has(row.id));
}
