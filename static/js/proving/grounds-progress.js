// How far the grounds of a rig are shown where nothing was changed, from the rows of the phone.
import { newestList, stepsOf } from "../engine/proving.js";
import { touchedBy } from "../engine/touched.js";
import { dayOf, localIso } from "../lib/times.js";
import { mapOf } from "../rig/map-of.js";
import { standingOf, stepOf } from "../rig/proving.js";
import { datedBy, momentOf, partsOf, rigsOf } from "../rig/rig-of.js";
import { pairsAt } from "../rig/touched.js";

/** @import { BodyProof, BodyRigMap } from "../../../schemas/shapes/record.d.ts" */
/** @import { ProvingStep, RigRules } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Proof, Step } from "../engine/proving.js" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */
/** @typedef {Proof & {at: number}} DatedProof */

const DAY_MS = 86_400_000;
/** Kinds of record that no rig without power gives. */
const WITH_POWER = /** @type {const} */ (["outlet-test", "trip-test", "plug-in"]);

/**
 * @param {ProvingStep[]} table
 * @returns {ProvingStep[]} the steps that grounds take; none in a table of an earlier release
 */
export const groundRules = (table) => newestList(table).filter(({ grounds_alone: isAlone }) => isAlone);

/**
 * @param {Row[]} rows in order
 * @param {string} id of the rig
 * @param {Pick<RigRules, "proving"|"due">} tables
 * @param {number} now in milliseconds
 * @returns {Progress|null} its change is null; null where the phone does not hold the rig
 */
export function groundsOf(rows, id, { proving: table, due }, now) {
  const rig = rigsOf(rows).find((each) => each.id === id);
  if (!rig) return null;
  const { map } = mapOf(rig);
  const rules = new Map(groundRules(table).map((rule) => [rule.id, rule]));
  const counts = countsBy(rig, [...rules.values()], datedBy(due, dayOf(localIso(new Date(now)))), now);
  const proofs = rig.newest("proof").reverse().filter(counts);
  const own = proofs.filter(({ record }) => record.subject === null);
  const live = proofs.filter(
    ({ record, body }) => record.subject !== null && isLive(table, body) && body.outcome !== null,
  );
  const tests = WITH_POWER.flatMap((kind) => /** @type {Chain[]} */ (rig.newest(kind))).filter(counts);
  const told = inOrder(own.map(saidBy), [...live, ...tests].map(powerBy(table)));
  return {
    rig,
    change: null,
    place: `rig=${id}&`,
    map,
    rules,
    failedAt: -Infinity,
    ...standingOf(stepsIn(map, rules), { proofs: own, told, table: newestList(table) }),
  };
}

/** @param {Progress} progress @returns {Chain<"outlet">[]} the outlets of the list whose ground no step can show */
export function outletsLeftOut({ rig, map, rules, steps }) {
  const shown = steps.filter(({ rule }) => rules.get(rule)?.for === "outlet").map(({ part }) => part);
  return rig.outlets.filter((outlet) => !partsOf(map, "outlet", outlet).some((part) => shown.includes(part)));
}

/**
 * What was noted before the newest change is told of other wiring.
 * @param {Rig} rig
 * @param {ProvingStep[]} rules
 * @param {(noted: Chain<any>) => boolean} isDated
 * @param {number} now
 * @returns {(noted: Chain<any>) => boolean}
 */
function countsBy(rig, rules, isDated, now) {
  const days = Math.max(0, ...rules.map(({ alone_days: each = 0 }) => each));
  const changed = rig
    .newest("change")
    .map(momentOf)
    .filter((at) => at <= now);
  return (noted) =>
    isDated(noted) && momentOf(noted) >= now - days * DAY_MS && changed.every((at) => momentOf(noted) > at);
}

/**
 * All that the map has, as though all were changed.
 * @param {BodyRigMap} map
 * @param {Map<string, ProvingStep>} rules
 * @returns {Step[]}
 */
function stepsIn(map, rules) {
  const all = touchedBy(
    map,
    map.parts.map(({ id }) => id),
    pairsAt,
  );
  const isAny = all.outlets.length + (all.frames ?? []).length > 0;
  return isAny ? stepsOf(all, [...rules.values()]) : [];
}

/** @param {ProvingStep[]} table @param {BodyProof} body */
const isLive = (table, { step }) => table.some(({ id, when }) => id === step && when === "live");

/** @param {Chain<"proof">} proof @returns {DatedProof} */
const saidBy = (proof) => ({ at: momentOf(proof), step: stepOf(proof.body), outcome: proof.body.outcome });

/**
 * What shows that the rig had power stands for a step with power that is none of these.
 * @param {ProvingStep[]} table
 * @returns {(noted: Chain<any>) => DatedProof}
 */
function powerBy(table) {
  const rule = table.find(({ when }) => when === "live")?.id ?? "";
  return (noted) => ({ at: momentOf(noted), step: { rule, part: null, pair: null }, outcome: "good" });
}

/** @param {DatedProof[]} proofs @param {DatedProof[]} power */
const inOrder = (proofs, power) => [...proofs, ...power].sort((a, b) => a.at - b.at);
