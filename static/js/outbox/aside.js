// What was set aside for an account that the server no longer knows: how much it is, and what becomes of it.
import { after, together, walk } from "./db.js";
import { takeUp } from "./drafts.js";
import { again } from "./forgetting.js";
import { FRESH, forgetArrivals } from "./photos.js";
import { tell } from "./rows.js";

/** @import { AsideLabel } from "./stores.js" */
/** @import { Row } from "./rows.js" */

/** @returns {Promise<{labels: string[], records: number, photos: number}>} what waits of the name now at this phone */
export async function asideHere() {
  const found = { labels: /** @type {string[]} */ ([]), records: 0, photos: 0 };
  await together(["records", "photos", "kept"], "readonly", ({ records, photos, kept }) => {
    Object.assign(found, { labels: [], records: 0, photos: 0 });
    asideOfName(kept, (labels) => {
      found.labels = labels;
      if (!labels.length) return;
      walk(records, ({ value }) => (found.records += Number(labels.includes(value.account))));
      walk(photos, ({ value }) => (found.photos += Number(labels.includes(value.account))));
    });
  });
  return found;
}

/** Takes what waits of that name over into the account that is at this phone now; all of it is sent. */
export async function takeAsideIn() {
  await together(["records", "photos", "drafts", "kept"], "readwrite", ({ records, photos, drafts, kept }) => {
    asideOfName(kept, (labels, account) => {
      walk(records, (cursor) => {
        if (labels.includes(cursor.value.account)) cursor.update({ ...taken(cursor.value), account });
      });
      walk(photos, (cursor) => {
        const { value } = cursor;
        if (labels.includes(value.account)) cursor.update({ ...value, ...(isOn(value) && FRESH), account });
      });
      walk(drafts, ({ key, value }) => {
        if (!Array.isArray(key) || !labels.includes(/** @type {string} */ (key[1]))) return;
        const nobodys = { key: key[0], value };
        takeUp(drafts, /** @type {any} */ (nobodys), account);
        drafts.delete(key);
      });
      after(kept.get("aside"), (/** @type {AsideLabel[]} */ all = []) =>
        kept.put(
          all.filter(({ label }) => !labels.includes(label)),
          "aside",
        ),
      );
    });
  });
  forgetArrivals();
  tell();
}

/** @param {Row} row @returns {Row} as one that this server has never had */
const taken = (row) => (isOn(row) ? again(row) : row);

/** @param {{saved: string}} row */
const isOn = ({ saved }) => saved === "server";

/** @param {IDBObjectStore} kept @param {(labels: string[], account: string|null) => void} act */
function asideOfName(kept, act) {
  after(kept.get("account"), (/** @type {string|null} */ account = null) => {
    after(kept.get("aside"), (/** @type {AsideLabel[]} */ all = []) => {
      act(
        all.filter(({ name }) => name === account).map(({ label }) => label),
        account,
      );
    });
  });
}
