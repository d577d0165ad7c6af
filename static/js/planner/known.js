// What this phone knows that a plan begins from: its rigs, and the last arrival check.
import { checkInput } from "../lib/measured.js";
import { chains } from "../outbox/chains.js";
import { newestRows } from "../outbox/newest.js";
import { rigsOf } from "../rig/rig-of.js";
import { loadRulebook, rulebook } from "../sync/rulebook.js";
import { hereOf } from "./supply.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { LastArrival } from "./supply.js" */

/** @typedef {Extract<LogRecord, {kind: "arrival-check"}>} ArrivalRecord */

/** @returns {Promise<{rigs: Rig[], here: LastArrival|null}>} */
export async function known() {
  const rows = await newestRows().catch(() => []);
  const record = lastArrival(rows);
  return { rigs: rigsOf(rows), here: record && hereOf(record, await loopOf(record)) };
}

/** What a clock may be ahead without its check being one of days to come. */
const AHEAD_MS = 3_600_000;

/**
 * @param {Row[]} rows
 * @param {number} [now] in milliseconds
 * @returns {ArrivalRecord|null} the newest, as it was corrected last; one of days to come only where there is no other
 */
export function lastArrival(rows, now = Date.now()) {
  const checks = chains(rows).flatMap((chain) => {
    const record = chain.at(-1)?.record;
    return record?.kind === "arrival-check" ? [/** @type {ArrivalRecord} */ (record)] : [];
  });
  /** @param {ArrivalRecord} record */
  const at = ({ observed_at }) => Date.parse(observed_at);
  const been = checks.filter((one) => at(one) <= now + AHEAD_MS);
  return (been.length ? been : checks).reduce(
    (/** @type {ArrivalRecord|null} */ newest, one) => (newest && at(newest) > at(one) ? newest : one),
    null,
  );
}

/** Only a check with a load has to be judged again for it. @param {ArrivalRecord} record */
async function loopOf({ body: { check } }) {
  if (!check.loaded && !(check.more ?? []).some(({ loaded }) => loaded)) return null;
  try {
    const { assess, quickHash, readRulebook } = await import("../check/judging.js");
    await loadRulebook((text) => readRulebook(text, quickHash));
    const book = rulebook();
    return book && assess(checkInput(check), book).supply;
  } catch (error) {
    console.warn("The loop could not be worked out.", error);
    return null;
  }
}
