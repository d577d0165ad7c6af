// One outlet, judged: the twin of fieldlog/engine/assess.py, equal to it to the last bit.

import { explain, isUsable, OTHER } from "./explanations.js";
import { has, LAMP_PAIRS, readCheck } from "./intake.js";
import {
  breakerFindings,
  continuityFindings,
  detectorFindings,
  evidenceFindings,
  frequencyFindings,
  lookFindings,
  voltageFindings,
} from "./limits.js";
import { nextTest } from "./next-test.js";
import { openRulebook } from "./rulebook.js";
import { tripFindings } from "./trip.js";

export { BadInput } from "./intake.js";
export { RulebookDamaged } from "./rulebook.js";

const MOSTLY = 0.5;
const HARDLY = 0.05;
const FORCES_TEST = ["meter-too-coarse", "ground-near-voltage"];
const NOTHING_READ = { probabilities: [], notRuledOut: [], first: "" };

/**
 * Judge one outlet. Pure and synchronous; throws BadInput (with its problems) or RulebookDamaged.
 * @param {object} check readings and looks
 * @param {object} raw the rulebook as fetched from /rulebook.json
 */
export function assess(check, raw) {
  const rulebook = openRulebook(raw);
  const read = readCheck(check, rulebook);
  const isRead = Object.keys(read.volts).length > 0 || Object.keys(read.lamps).length > 0;
  const found = isRead ? explain(read, rulebook) : NOTHING_READ;
  const findings = findingsOf(read, found, rulebook);
  const isStoppedByLook = lookFindings(read).some(({ level }) => level === "stop");
  const proposal = isStoppedByLook || !isRead ? null : nextTest(read, found, rulebook);
  const ordered = [...found.probabilities].sort((one, two) => two[1] - one[1]);
  return {
    verdict: verdictOf(read, found, findings, rulebook),
    faults: ordered.map(([id, probability]) => ({ id, probability })),
    not_ruled_out: found.notRuledOut,
    next_test: proposal,
    findings,
    supply: null,
    rulebook: rulebook.id,
  };
}

function findingsOf(check, found, rulebook) {
  return [
    ...lookFindings(check),
    ...breakerFindings(check, rulebook),
    ...frequencyFindings(check, rulebook),
    ...voltageFindings(check, rulebook),
    ...detectorFindings(check),
    ...continuityFindings(check),
    ...tripFindings(check.trip, rulebook),
    ...evidenceFindings(check, found.first),
  ];
}

function verdictOf(check, found, findings, rulebook) {
  if (findings.some(({ level }) => level === "stop")) return "do-not-use";
  if (found.probabilities.length === 0) return "test-more";
  const against = heldAgainst(check, found, rulebook);
  const other = new Map(found.probabilities).get(OTHER);
  if (against > MOSTLY && other <= MOSTLY) return "do-not-use";
  const isForced = findings.some(({ id }) => FORCES_TEST.includes(id));
  if (!(against < HARDLY) || !hasLeastEvidence(check) || isForced) return "test-more";
  return findings.some(({ level }) => level === "limit") ? "use-limited" : "use";
}

function heldAgainst(check, found, rulebook) {
  const leftOut = new Set(
    rulebook.wirings.filter((wiring) => isUsable(wiring, check) || wiring.is_decided_by_ohms).map(({ id }) => id),
  );
  let held = 0;
  for (const [name, probability] of found.probabilities) if (!leftOut.has(name)) held = held + probability;
  return held;
}

function hasLeastEvidence(check) {
  return [check.volts, check.lamps].some((set) => LAMP_PAIRS.every((pair) => has(set, pair)));
}
