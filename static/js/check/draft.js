import { get, remove, together } from "../outbox/db.js";
import { draftKey, refuseOthers } from "../outbox/drafts.js";
import { remembered } from "../outbox/remembered.js";

/** @import { Values } from "./entries.js" */

/**
 * @typedef {object} DraftOwner what every draft has
 * @property {string|null} [account] under which it was typed; none where nobody was known
 * @property {number} [touched] when it was last written, in milliseconds
 */

/**
 * @typedef {object} DraftEntries
 * @property {Values} values
 * @property {string} step the one on screen
 * @property {string} reached the furthest one
 * @property {number} [far] how much of the way to the verdict has been gone at most, 0 to 1
 * @property {Record<string, {id: string, told: string, tests?: string[]}>} saved records already kept, by kind, with
 *   what they told and the added tests in them
 */

/** @typedef {DraftOwner & DraftEntries} Draft of a check */

/** What is offered again at the next check. */
export const OFFERED = [
  "place.park",
  "place.site",
  "by",
  "meter.input",
  "meter.accuracy_percent",
  "meter.accuracy_volts",
  "meter.rms",
  "ready.category",
];

/** @type {Values} */
const FIRST = {
  supply: "utility",
  by: "meter",
  "meter.input": "high-impedance",
  "meter.accuracy_percent": "1.0",
  "meter.accuracy_volts": "0.3",
  "ready.category": "",
  "skin.by": "meter",
  "loaded.across": "x-n",
  "upstream.loaded.across": "x-n",
  "unplugged.by": "meter",
};

/** @returns {Promise<Draft>} a draft with the values remembered from last time */
export async function newDraft() {
  /** @type {Record<string, any>} */
  const kept = await remembered().catch(() => ({}));
  const offered = OFFERED.filter((name) => name in kept).map((name) => [name, kept[name]]);
  const testers = ["lamp", "lamp4"].map((prefix) =>
    kept[`${prefix}s`] ? { ...kept[`${prefix}s`], [`${prefix}s_known`]: "yes" } : {},
  );
  return {
    values: Object.assign({ ...FIRST, ...Object.fromEntries(offered), "last.outlet": kept.outlet ?? "" }, ...testers),
    step: "",
    reached: "",
    saved: {},
    account: await typist().catch(() => null),
  };
}

/** @returns {Promise<string|null>} who is at this phone */
export const typist = async () => (await get("kept", "account")) ?? null;

/**
 * @template {DraftOwner} [Own=Draft]
 * @param {string} page
 * @returns {Promise<Own|undefined>} that of the account at this phone, or else one of nobody's
 */
export async function loadDraft(page) {
  const { account, own, nobodys, forgot } = await held(page).catch(() => NOTHING);
  const kept = own?.result ?? nobodys?.result;
  const left = leftBehind(page);
  // Once taken up, the store has it under its account
  const isMine = left?.account ? left.account === account : !account || nobodys?.result;
  return left && isMine && !(left.touched <= (forgot ?? NaN)) && !(kept?.touched > left.touched) ? left : kept;
}

/** @type {Partial<Awaited<ReturnType<typeof held>>>} */
const NOTHING = {};

/**
 * What the store says of a page's draft, and when the last sign-out took what was left in tabs.
 * @param {string} page
 */
async function held(page) {
  const account = await typist();
  const forgot = await get("kept", "forgot");
  const found = await together(["drafts"], "readonly", ({ drafts }) => ({
    own: drafts.get(draftKey(page, account)),
    nobodys: drafts.get(page),
  }));
  return { account, forgot, ...found };
}

/**
 * Where the phone's store refuses, as when another page has brought a newer one, it waits in this tab.
 * @param {string} page
 * @param {DraftOwner} draft
 */
export async function saveDraft(page, draft) {
  const { account: typedBy, touched } = draft;
  draft.touched = Date.now();
  try {
    const account = await typist();
    if (typedBy && typedBy !== account) draft.touched = touched; // as it was kept last
    refuseOthers(typedBy, account);
    draft.account = account;
    await together(["drafts"], "readwrite", ({ drafts }) => {
      if (!typedBy) drafts.delete(page);
      drafts.put(draft, draftKey(page, account));
    });
  } catch (error) {
    leaveDraft(page, draft);
    throw error;
  }
}

/** @param {string} page @param {DraftOwner} draft */
export function dropDraft(page, { account = null }) {
  quietly(() => sessionStorage.removeItem(LEFT + page));
  return remove("drafts", draftKey(page, account));
}

// A page that is left takes with it what its store has not written yet, so the last keystroke is left here as well,
// at once.
const LEFT = "fieldlog-draft:";

/** @param {string} page @param {DraftOwner} draft */
export function leaveDraft(page, draft) {
  quietly(() => sessionStorage.setItem(LEFT + page, JSON.stringify(draft)));
}

/** @param {string} page @returns {any} what this tab wrote itself, of the kind that the page keeps */
function leftBehind(page) {
  return quietly(() => JSON.parse(sessionStorage.getItem(LEFT + page) ?? "null"));
}

/**
 * A browser may refuse this storage, or have it full; the draft in the phone's own store is then all there is.
 * @template Given
 * @param {() => Given} act
 * @returns {Given|null}
 */
function quietly(act) {
  try {
    return act();
  } catch (error) {
    console.warn(error);
    return null;
  }
}
