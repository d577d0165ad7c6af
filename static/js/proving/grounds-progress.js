// How far the grounds of a rig are shown where nothing was changed, from the rows of the phone.
import { stepsOf } from "../engine/proving.js";
import { touchedBy } from "../engine/touched.js";
import { dayOf, localIso } from "../lib/times.js";
import { datedBy, partsOf } from "../rig/due.js";
import { mapOf } from "../rig/map-of.js";
import { standingOf, stepOf } from "../rig/proving.js";
import { momentOf, rigsOf } from "../rig/rig-of.js";
import { pairsAt } from "../rig/touched.js";

/** @typedef {import("../rig/proving.js").Progress} Progress */
/** @typedef {import("../rig/rig-of.js").Noted} Noted */

const DAY_MS = 86_400_000;
/** Kinds of record that no rig without power gives. */
const WITH_POWER = ["outlet-test", "trip-test", "plug-in"];

/**
 * @param {Record<string, any>[]} table
 * @returns {Record<string, any>[]} the steps that grounds take; none in a table of an earlier release
 */
export const groundRules = (table) => table.filter(({ grounds_alone: isAlone }) => isAlone);

/**
 * @param {import("../outbox/rows.js").Row[]} rows in order
 * @param {string} id of the rig
 * @param {import("../sync/rig-rules.js").RigRules} tables
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
  const tests = WITH_POWER.flatMap((kind) => rig.newest(kind)).filter(counts);
  const told = inOrder(own.map(saidBy), [...live, ...tests].map(powerBy(table)));
  return {
    rig,
    change: null,
    place: `rig=${id}&`,
    map,
    rules,
    failedAt: -Infinity,
    ...standingOf(stepsIn(map, rules), { proofs: own, told, table }),
  };
}

/** @param {Progress} progress @returns {Noted[]} the outlets of the list whose ground no step can show */
export function outletsLeftOut({ rig, map, rules, steps }) {
  const shown = steps.filter(({ rule }) => rules.get(rule).for === "outlet").map(({ part }) => part);
  return rig.outlets.filter((outlet) => !partsOf(map, "outlet", outlet).some((part) => shown.includes(part)));
}

/** What was noted before the newest change is told of other wiring. */
function countsBy(rig, rules, isDated, now) {
  const days = Math.max(0, ...rules.map(({ alone_days: each = 0 }) => each));
  const changed = rig
    .newest("change")
    .map(momentOf)
    .filter((at) => at <= now);
  return (noted) =>
    isDated(noted) && momentOf(noted) >= now - days * DAY_MS && changed.every((at) => momentOf(noted) > at);
}

/** All that the map has, as though all were changed. */
function stepsIn(map, rules) {
  const all = touchedBy(
    map,
    map.parts.map(({ id }) => id),
    pairsAt,
  );
  const isAny = all.outlets.length + all.frames.length > 0;
  return isAny ? stepsOf(all, [...rules.values()]) : [];
}

const isLive = (table, { step }) => table.some(({ id, when }) => id === step && when === "live");

const saidBy = (proof) => ({ at: momentOf(proof), step: stepOf(proof.body), outcome: proof.body.outcome });

/** What shows that the rig had power stands for a step with power that is none of these. */
function powerBy(table) {
  const rule = table.find(({ when }) => when === "live")?.id;
  return (noted) => ({ at: momentOf(noted), step: { rule, part: null, pair: null }, outcome: "good" });
}

const inOrder = (proofs, power) => [...proofs, ...power].sort((a, b) => a.at - b.at);
