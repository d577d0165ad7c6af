// Marks that are set before a person closes the app altogether, and what was there of them afterwards.
import { inTrialStore, MARK } from "../outbox/trial-store.js";
import { told } from "./tries.js";

/** @import { Observation } from "./states.js" */

const ROWS = 10;
const PATIENCE_MS = 3000;
const ASKED = "/api/session";

/** @param {string} at @returns {Promise<Observation<"kill">>} what was written */
export async function writeMarks(at) {
  let rows_written = 0;
  try {
    for (; rows_written < ROWS; rows_written++) {
      const key = `mark ${rows_written}`;
      await inTrialStore("readwrite", (rows) => void rows.put(at, key));
    }
    localStorage.setItem(MARK, at);
    sessionStorage.setItem(MARK, at);
    return { marked_at: at, rows_written };
  } catch (error) {
    return { rows_written, ...told(error) };
  }
}

/**
 * Looks for the marks on a page that was opened after they were written.
 * @param {string} marked_at
 * @returns {Promise<Observation<"kill">>}
 */
export async function lookForMarks(marked_at) {
  const asked = serverAnswers();
  const there = inTrialStore("readonly", (rows) => rows.getAll());
  const found = await there.then(
    (rows) => ({ rows_there: rows.filter((row) => row === marked_at).length }),
    (error) => ({ rows_there: 0, ...told(error) }),
  );
  const [opening] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType("navigation"));
  return {
    marked_at,
    rows_written: ROWS,
    ...found,
    small_mark: smallMark() === marked_at,
    tab_memory: tabMark() === marked_at,
    navigation: opening?.type ?? "",
    worker_in_charge: Boolean(navigator.serviceWorker?.controller),
    worker_answered: (opening?.workerStart ?? 0) > 0,
    server_answered: await asked,
  };
}

/** @returns {string|null} when marks were written, as it stands beside the store */
export const smallMark = () => markIn(() => localStorage);

/** @returns {string|null} the same in the memory of this tab */
const tabMark = () => markIn(() => sessionStorage);

/** @param {() => Storage} storage one that a browser may refuse */
function markIn(storage) {
  try {
    return storage().getItem(MARK);
  } catch (error) {
    console.warn(error);
    return null;
  }
}

/** @returns {Promise<boolean>} */
async function serverAnswers() {
  const signal = AbortSignal.timeout(PATIENCE_MS);
  const answer = await fetch(ASKED, { cache: "no-store", signal }).catch(() => null);
  return Boolean(answer?.headers.get("Content-Type")?.includes("json"));
}
