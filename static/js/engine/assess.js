// One outlet, judged: the twin of fieldlog/engine/assess.py, equal to it to the last bit.

import { voltageFindings } from "./bands.js";
import { evidenceFindings, hasLeastEvidence } from "./evidence.js";
import { explain, isUsable, NOTHING_READ, OTHER } from "./explanations.js";
import { readCheck } from "./intake.js";
import { breakerFindings, continuityFindings, detectorFindings, frequencyFindings, lookFindings } from "./limits.js";
import { nextTest } from "./next-test.js";
import { openRulebook } from "./rulebook.js";
import { isRead } from "./sets.js";
import { supplyFindings, supplyOf } from "./supply.js";
import { tripFindings } from "./trip.js";

export { BadInput } from "./intake.js";
export { RulebookDamaged } from "./rulebook.js";

/** @import { Check } from "./check.js" */
/** @import { Explained } from "./explanations.js" */
/** @import { Opened } from "./rulebook.js" */
/** @import { Assessed, Finding, Supply, Verdict } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

const FORCES_TEST = ["meter-too-coarse", "ground-near-voltage"];

/**
 * Judge one outlet. Pure and synchronous; throws BadInput (with its problems) or RulebookDamaged.
 * @param {unknown} check readings and looks
 * @param {Rulebook|null|undefined} raw as fetched from /rulebook.json
 * @returns {Assessed}
 */
export function assess(check, raw) {
  const rulebook = openRulebook(raw);
  const read = readCheck(check, rulebook);
  const isAnyRead = isRead(read);
  const found = isAnyRead ? explain(read, rulebook) : NOTHING_READ;
  const supply = supplyOf(read, rulebook);
  const findings = findingsOf(read, found, supply, rulebook);
  const isStoppedByLook = lookFindings(read, rulebook).some(({ level }) => level === "stop");
  const proposal = isStoppedByLook || !isAnyRead ? null : nextTest(read, found, rulebook);
  const ordered = [...found.probabilities].sort((one, two) => two[1] - one[1]);
  return {
    verdict: verdictOf(read, found, findings, rulebook),
    faults: ordered.map(([id, probability]) => ({ id, probability })),
    not_ruled_out: found.notRuledOut,
    next_test: proposal,
    findings,
    supply,
    rulebook: rulebook.id,
  };
}

/** @param {Check} check @param {Explained} found @param {Supply|null} supply @param {Opened} rulebook */
function findingsOf(check, found, supply, rulebook) {
  return [
    ...lookFindings(check, rulebook),
    ...breakerFindings(check, rulebook),
    ...frequencyFindings(check, rulebook),
    ...voltageFindings(check, rulebook),
    ...detectorFindings(check),
    ...continuityFindings(check),
    ...tripFindings(check.trip, rulebook),
    ...evidenceFindings(check, found, rulebook),
    ...supplyFindings(check, supply, rulebook),
  ];
}

/**
 * @param {Check} check
 * @param {Explained} found
 * @param {Finding[]} findings
 * @param {Opened} rulebook
 * @returns {Verdict}
 */
function verdictOf(check, found, findings, rulebook) {
  if (findings.some(({ level }) => level === "stop")) return "do-not-use";
  if (found.probabilities.length === 0) return "test-more";
  const against = heldAgainst(check, found, rulebook);
  const other = /** @type {number} */ (new Map(found.probabilities).get(OTHER)); // always among them
  const mostly = rulebook.limit("against-mostly");
  if (against > mostly && other <= mostly) return "do-not-use";
  const isForced = findings.some(({ id }) => FORCES_TEST.includes(id));
  const isDoubtful = !(against < rulebook.limit("against-hardly"));
  if (isDoubtful || !hasLeastEvidence(check, rulebook) || isForced) return "test-more";
  return findings.some(({ level }) => level === "limit") ? "use-limited" : "use";
}

/** @param {Check} check @param {Explained} found @param {Opened} rulebook */
function heldAgainst(check, found, rulebook) {
  const { wirings } = rulebook.familyOf(check.outlet);
  const leftOut = new Set(
    wirings.filter((wiring) => isUsable(wiring, check) || wiring.is_decided_by_ohms).map(({ id }) => id),
  );
  let held = 0;
  for (const [name, probability] of found.probabilities) if (!leftOut.has(name)) held = held + probability;
  return held;
}
