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

/** @param {Row[]} rows @returns {ArrivalRecord|null} the newest, as it was corrected last */
export function lastArrival(rows) {
  const checks = chains(rows).flatMap((chain) => {
    const record = chain.at(-1)?.record;
    return record?.kind === "arrival-check" ? [/** @type {ArrivalRecord} */ (record)] : [];
  });
  return checks.reduce(
    (/** @type {ArrivalRecord|null} */ newest, one) =>
      newest && Date.parse(newest.observed_at) > Date.parse(one.observed_at) ? newest : one,
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
