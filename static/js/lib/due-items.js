// The Python twin is fieldlog/model/due_items.py; both are tested from tests/cases/due-items.json.
import { monthsAfter } from "./due.js";

/** @import { DueRule } from "../../../schemas/shapes/rig-rules.d.ts" */

const STANDINGS = ["failed", "never", "overdue", "today", "later"];

/**
 * @typedef {object} Thing
 * @property {string} what device, outlet, outlet-loaded, outlet-look, cord, alarms, ground, skin, set or set-fixed; of
 *   cord-loaded, insulation and surge only incidents speak
 * @property {string|null} subject
 * @property {string} name
 * @property {string|null} last day of the last test that counts
 * @property {string|null} [failed] day of a test that failed and that no later one settled
 * @property {string|null} [changed] day of a change to its wiring after that test
 * @property {{rule: string, day: string, name: string, clears: string, at?: number}|null} [struck] the newest incident
 *   that touches it after its last good test; at: its moment, in milliseconds
 */

/** @typedef {{thing: Thing, rule: string, next: string|null, standing: string}} DueItem */

/**
 * Says of each thing when it is due, by the rule that makes it due first; an incident goes before every rule but a
 * failed test.
 * @param {Thing[]} things
 * @param {DueRule[]} rules
 * @param {string} today
 * @param {{chosen?: string[], season?: string|null}} [how]
 * @returns {DueItem[]} gravest first, then by day
 */
export function dueItems(things, rules, today, { chosen = [], season = null } = {}) {
  const seasons = season === null ? [] : seasonsAround(season, today);
  const found = things.flatMap((thing) => first(thing, rules, today, { chosen, seasons }));
  return found.sort(
    (a, b) => STANDINGS.indexOf(a.standing) - STANDINGS.indexOf(b.standing) || compare(a.next ?? "", b.next ?? ""),
  );
}

/** @param {string} a @param {string} b */
const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/**
 * @param {Thing} thing
 * @param {DueRule[]} rules
 * @param {string} today
 * @param {{chosen: string[], seasons: string[]}} how
 * @returns {DueItem[]} one, or none where nothing makes it due
 */
function first(thing, rules, today, { chosen, seasons }) {
  const regular = rules.filter(
    (each) => each.what === thing.what && (!each.only_with || chosen.includes(each.only_with)),
  );
  const [usual] = regular;
  if (!usual && !thing.struck) return [];
  const failing = rules.find(({ after, of }) => after === "no-reset" && (!of || of.includes(thing.what)));
  if (thing.failed && failing) return [{ thing, rule: failing.id, next: thing.failed, standing: "failed" }];
  if (thing.struck) {
    const { rule, day } = thing.struck;
    return [{ thing, rule, next: day, standing: standingOf(day, today) }];
  }
  if (!usual) return [];
  if (!thing.last && !thing.changed) return [{ thing, rule: usual.id, next: null, standing: "never" }];
  const days = rules.flatMap((each) => {
    const next = dayBy(thing, each, regular, seasons);
    return next ? [{ rule: each.id, next }] : [];
  });
  const { rule, next } = days.reduce((best, each) => (each.next < best.next ? each : best));
  return [{ thing, rule, next, standing: standingOf(next, today) }];
}

/**
 * @param {Thing} thing
 * @param {DueRule} rule
 * @param {DueRule[]} regular those that come round for it
 * @param {string[]} seasons
 * @returns {string|null}
 */
function dayBy(thing, rule, regular, seasons) {
  if (!rule.after)
    return thing.last && regular.includes(rule)
      ? monthsAfter(thing.last, /** @type {number} */ (rule.every_months))
      : null;
  if (rule.after === "no-reset") return null;
  if (rule.after === "change") return thing.changed ?? null;
  if (rule.after === "season") return seasons.find((day) => !thing.last || thing.last < day) ?? null;
  throw new Error(`The rule ${rule.id} comes after ${rule.after}, which is not known here.`);
}

/** @param {string} next @param {string} today */
function standingOf(next, today) {
  if (next === today) return "today";
  return next < today ? "overdue" : "later";
}

/**
 * The last day on which the season began and the next on which it does, as far as years reach.
 * @param {string} season month and day
 * @param {string} today
 * @returns {string[]}
 */
function seasonsAround(season, today) {
  const year = Number(today.slice(0, 4));
  const days = [year - 1, year, year + 1]
    .filter((each) => each >= 1 && each <= 9999)
    .map((each) => started(season, each));
  const began = days.filter((day) => day <= today);
  return [...began.slice(-1), ...days.slice(began.length, began.length + 1)];
}

/**
 * 29 February begins on 1 March in a common year.
 * @param {string} season
 * @param {number} year
 */
function started(season, year) {
  const isCommon = new Date(Date.UTC(year, 2, 0)).getUTCDate() === 28;
  return `${String(year).padStart(4, "0")}-${season === "02-29" && isCommon ? "03-01" : season}`;
}
