// What the phone knows of a rig, read from its rows.
import { newestRows } from "../outbox/newest.js";
import { dueOf } from "../rig/due.js";
import { mapOf } from "../rig/map-of.js";
import { rigsOf } from "../rig/rig-of.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";
import { stepsOf } from "./steps.js";

/** @import { Rig } from "../rig/rig-of.js" */
/** @typedef {NonNullable<Awaited<ReturnType<typeof known>>>} RoundKnowledge */

/** @returns {Promise<Rig[]>} those on the phone; where there is none, the server is asked once */
export async function rigsOnPhone() {
  const rigs = rigsOf(await newestRows());
  return rigs.length ? rigs : sync().then(newestRows).then(rigsOf);
}

/**
 * Gives nothing where the rig is not on the phone, or is no more, or its rules are not.
 * @param {string} id
 * @param {string} today
 */
export async function known(id, today) {
  const rigs = rigsOf(await newestRows());
  const rig = rigs.find((each) => each.id === id);
  const rules = await rigRules();
  if (!rig || !rules) return null;
  const { map } = mapOf(rig);
  const due = dueOf(rig, rules.due, today, rules.incidents);
  return { rig, rigs, map, due, looks: rules.looks, steps: stepsOf(rig, map, due) };
}
