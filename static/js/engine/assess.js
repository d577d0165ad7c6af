// One outlet, judged: the twin of fieldlog/engine/assess.py, equal to it to the last bit.

import { voltageFindings } from "./bands.js";
import { counting, earthFindings, isGroundClean } from "./earth.js";
import { evidenceFindings, hasLeastEvidence, isAllReadByMeter, isNeutralInDoubt } from "./evidence.js";
import { explain, isUsable, NOTHING_READ, OTHER } from "./explanations.js";
import { readCheck } from "./intake.js";
import {
  adapterFindings,
  breakerFindings,
  continuityFindings,
  detectorFindings,
  frequencyFindings,
  lookFindings,
} from "./limits.js";
import { loopFindings, settled, withoutReading } from "./loops.js";
import { nextTest } from "./next-test.js";
import { openRulebook } from "./rulebook.js";
import { isRead } from "./sets.js";
import { supplyFindings, supplyOf } from "./supply.js";
import { tripFindings } from "./trip.js";

export { BadInput } from "./intake.js";
export { RulebookDamaged } from "./rulebook.js";

/** @import { Check } from "./check.js" */
/** @import { Explanations } from "./explanations.js" */
/** @import { Doubt, CheckAsCounted } from "./loops.js" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Assessed, Finding, NextTest, Supply, Verdict } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

const FORCES_TEST = ["neutral-near-voltage", "continuity-disagrees", "legs-disagree", "lamps-unlike"];

/**
 * Judge one outlet. Pure and synchronous; throws BadInput (with its problems) or RulebookDamaged.
 * @param {unknown} check readings and looks
 * @param {Rulebook|null|undefined} raw as fetched from /rulebook.json
 * @returns {Assessed}
 */
export function assess(check, raw) {
  const rulebook = openRulebook(raw);
  const read = readCheck(check, rulebook);
  const weighed = weighedOf(read, rulebook);
  const found = explained(weighed, rulebook);
  const supply = supplyOf(weighed.check, rulebook);
  const findings = findingsOf(read, weighed, found, supply, rulebook);
  const ordered = [...found.probabilities].sort((one, two) => two[1] - one[1]);
  return {
    verdict: verdictOf(weighed, found, findings, rulebook),
    faults: ordered.map(([id, probability]) => ({ id, probability })),
    not_ruled_out: found.notRuledOut,
    next_test: proposalOf(read, weighed, found, rulebook),
    findings,
    supply,
    rulebook: rulebook.id,
  };
}

/** Leaves out what says nothing, and finds what does not add up. @param {Check} check @param {Rules} rulebook */
const weighedOf = (check, rulebook) => settled(counting(check, rulebook), rulebook);

/** @param {CheckAsCounted} weighed @param {Rules} rulebook */
const explained = ({ check }, rulebook) => (isRead(check) ? explain(check, rulebook) : NOTHING_READ);

/**
 * @param {Check} check
 * @param {CheckAsCounted} weighed
 * @param {Explanations} found
 * @param {Supply|null} supply
 * @param {Rules} rulebook
 */
function findingsOf(check, weighed, found, supply, rulebook) {
  const counted = weighed.check;
  const inDoubt = weighed.doubt?.quantity ?? "";
  return [
    ...loopFindings(weighed),
    ...lookFindings(check, rulebook),
    ...breakerFindings(check, rulebook),
    ...adapterFindings(counted, rulebook),
    ...frequencyFindings(check, rulebook),
    ...voltageFindings(counted, rulebook).filter(({ quantity }) => quantity !== inDoubt),
    ...detectorFindings(check, isGroundClean(check, rulebook)),
    ...continuityFindings(check),
    ...tripFindings(check.trip, rulebook),
    ...earthFindings(check, rulebook),
    ...evidenceFindings(counted, found, rulebook),
    ...supplyFindings(counted, supply, rulebook),
  ];
}

/**
 * @param {Check} check
 * @param {CheckAsCounted} weighed
 * @param {Explanations} found
 * @param {Rules} rulebook
 * @returns {NextTest|null}
 */
function proposalOf(check, { check: counted, doubt }, found, rulebook) {
  const isStopped = lookFindings(check, rulebook).some(({ level }) => level === "stop");
  if (isStopped || found.probabilities.length === 0) return null;
  if (doubt !== null) {
    return { id: "read-again", pairs: /** @type {NextTest["pairs"]} */ (doubt.pairs), separates: [] };
  }
  return nextTest(counted, found, rulebook);
}

/**
 * Refuses only where it is refused whichever reading is left out.
 * @param {Check} check
 * @param {Doubt} doubt
 * @param {Rules} rulebook
 * @returns {Verdict}
 */
function verdictInDoubt(check, doubt, rulebook) {
  const isRefused = doubt.loop.every((pair) => isRefusedAs(withoutReading(check, doubt, pair), rulebook));
  return isRefused ? "do-not-use" : "test-more";
}

/**
 * Tells whether what is left is refused; where it does not add up either, by a stop that it has alone.
 * @param {Check} check
 * @param {Rules} rulebook
 */
function isRefusedAs(check, rulebook) {
  const weighed = weighedOf(check, rulebook);
  const found = explained(weighed, rulebook);
  const findings = findingsOf(weighed.check, weighed, found, supplyOf(weighed.check, rulebook), rulebook);
  if (weighed.doubt !== null) return findings.some(({ level }) => level === "stop");
  return verdictOf(weighed, found, findings, rulebook) === "do-not-use";
}

/**
 * @param {CheckAsCounted} weighed
 * @param {Explanations} found
 * @param {Finding[]} findings
 * @param {Rules} rulebook
 * @returns {Verdict}
 */
function verdictOf({ check, doubt }, found, findings, rulebook) {
  if (doubt !== null) return verdictInDoubt(check, doubt, rulebook);
  if (findings.some(({ level }) => level === "stop")) return "do-not-use";
  if (found.probabilities.length === 0) return "test-more";
  const against = heldAgainst(check, found, rulebook);
  const other = /** @type {number} */ (new Map(found.probabilities).get(OTHER)); // always among them
  const mostly = rulebook.limit("against-mostly");
  if (against > mostly && other <= mostly) return "do-not-use";
  const isForced = findings.some((each) => forcesTest(each, check, rulebook));
  const isDoubtful = !(against < rulebook.limit("against-hardly"));
  if (isDoubtful || !hasLeastEvidence(check, rulebook) || isForced) return "test-more";
  return findings.some(({ level }) => level === "limit") ? "use-limited" : "use";
}

/** @param {Finding} each @param {Check} check @param {Rules} rulebook */
function forcesTest(each, check, rulebook) {
  if (each.id === "meter-too-coarse") return !isAllReadByMeter(check, rulebook);
  if (each.id === "neutral-lifted") return isNeutralInDoubt(each, check, rulebook);
  if (each.id === "ground-near-voltage") return each.level === "limit";
  return FORCES_TEST.includes(each.id);
}

/** @param {Check} check @param {Explanations} found @param {Rules} rulebook */
function heldAgainst(check, found, rulebook) {
  const { wirings } = rulebook.familyOf(check.outlet);
  const leftOut = new Set(
    wirings.filter((wiring) => isUsable(wiring, check) || wiring.is_decided_by_ohms).map(({ id }) => id),
  );
  let held = 0;
  for (const [name, probability] of found.probabilities) if (!leftOut.has(name)) held = held + probability;
  return held;
}
