// What an account left on this phone that the server no longer knows: one of the same name was made anew there. It
// waits under a name that nobody can bear, until somebody says what becomes of it.
import { after, walk } from "./db.js";
import { draftKey } from "./drafts.js";

/** @import { AsideLabel, StoreName } from "./stores.js" */

/**
 * @param {Record<StoreName, IDBObjectStore>} stores
 * @param {string} account
 * @param {string} identity of the one before
 */
export function setAside({ kept, records, photos, drafts }, account, identity) {
  const label = `${account}\n${identity}`; // no name of an account holds a line's end
  const found = { isAny: false };
  /** @param {IDBCursorWithValue} cursor */
  const relabel = (cursor) => {
    if (cursor.value.account !== account) return;
    found.isAny = true;
    cursor.update({ ...cursor.value, account: label });
  };
  walk(records, relabel);
  walk(photos, relabel);
  walk(
    drafts,
    ({ key, value }) => {
      if (!Array.isArray(key) || key[1] !== account) return;
      drafts.put({ ...value, account: label }, draftKey(/** @type {string} */ (key[0]), label));
      drafts.delete(key);
    },
    () =>
      after(kept.get("aside"), (/** @type {AsideLabel[]} */ before = []) => {
        if (found.isAny) kept.put([...before, { label, name: account }], "aside");
      }),
  );
}
