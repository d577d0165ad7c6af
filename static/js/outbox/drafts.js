// What is typed and not finished is its account's: another one at this phone neither sees it nor saves it.

/**
 * @param {string} page
 * @param {string|null} account
 * @returns {IDBValidKey} where a draft lies; what nobody known has typed lies under its page alone
 */
export const draftKey = (page, account) => (account ? [page, account] : page);

/**
 * @param {IDBValidKey} key
 * @param {string|null} account
 * @returns {boolean} whether a draft is the account's, or nobody's
 */
export const isDraftOf = (key, account) => typeof key === "string" || /** @type {IDBValidKey[]} */ (key)[1] === account;

/**
 * Stops what one account has begun from being kept as another's.
 * @param {string|null|undefined} typedBy nobody where it was typed before a sign-in
 * @param {string|null|undefined} account at this phone now
 */
export function refuseOthers(typedBy, account) {
  if (typedBy && typedBy !== account)
    throw new Error("Another account began this and is not at this phone now. Sign in as that one to go on with it.");
}

/**
 * Makes drafts of nobody an account's, so that they never go to the next. One that it has for the same page stays as
 * it is.
 * @param {IDBObjectStore} drafts
 * @param {IDBCursorWithValue} cursor at any draft
 * @param {string|null} account
 */
export function takeUp(drafts, { key, value }, account) {
  if (typeof key !== "string" || !account) return;
  const adding = drafts.add({ ...value, account }, draftKey(key, account));
  adding.onsuccess = () => drafts.delete(key);
  adding.onerror = (event) => event.preventDefault();
}
