// The Python twin is fieldlog/model/due_items.py; both are tested from tests/cases/due-items.json.
import { monthsAfter } from "./due.js";

const STANDINGS = ["failed", "never", "overdue", "today", "later"];

/**
 * @typedef {object} Thing
 * @property {string} what device, outlet, outlet-loaded, outlet-look, cord, alarms or ground
 * @property {string|null} subject
 * @property {string} name
 * @property {string|null} last day of the last test that counts
 * @property {string|null} [failed] day of a test that failed and that no later one settled
 * @property {string|null} [changed] day of a change to its wiring after that test
 */

/**
 * Says of each thing when it is due, by the rule that makes it due first.
 * @param {Thing[]} things
 * @param {Record<string, any>[]} rules entries of the table of what comes round
 * @param {string} today
 * @param {{chosen?: string[], season?: string|null}} [how]
 * @returns {{thing: Thing, rule: string, next: string|null, standing: string}[]} gravest first, then by day
 */
export function dueItems(things, rules, today, { chosen = [], season = null } = {}) {
  const seasons = season === null ? [] : seasonsAround(season, today);
  const found = things.map((thing) => first(thing, rules, today, { chosen, seasons })).filter(Boolean);
  return found.sort(
    (a, b) => STANDINGS.indexOf(a.standing) - STANDINGS.indexOf(b.standing) || compare(a.next ?? "", b.next ?? ""),
  );
}

const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

function first(thing, rules, today, { chosen, seasons }) {
  const regular = rules.filter(
    (each) => each.what === thing.what && (!each.only_with || chosen.includes(each.only_with)),
  );
  if (!regular.length) return null;
  const failing = rules.find(({ after, of }) => after === "no-reset" && (!of || of.includes(thing.what)));
  if (thing.failed && failing) return { thing, rule: failing.id, next: thing.failed, standing: "failed" };
  if (!thing.last && !thing.changed) return { thing, rule: regular[0].id, next: null, standing: "never" };
  const days = rules
    .map((each) => ({ rule: each.id, next: dayBy(thing, each, regular, seasons) }))
    .filter((each) => each.next);
  const { rule, next } = days.reduce((best, each) => (each.next < best.next ? each : best));
  return { thing, rule, next, standing: standingOf(next, today) };
}

function dayBy(thing, rule, regular, seasons) {
  if (!rule.after) return thing.last && regular.includes(rule) ? monthsAfter(thing.last, rule.every_months) : null;
  if (rule.after === "no-reset") return null;
  if (rule.after === "change") return thing.changed ?? null;
  if (rule.after === "season") return seasons.find((day) => !thing.last || thing.last < day) ?? null;
  throw new Error(`The rule ${rule.id} comes after ${rule.after}, which is not known here.`);
}

function standingOf(next, today) {
  if (next === today) return "today";
  return next < today ? "overdue" : "later";
}

/** The last day on which the season began and the next on which it does, as far as years reach. */
function seasonsAround(season, today) {
  const year = Number(today.slice(0, 4));
  const days = [year - 1, year, year + 1]
    .filter((each) => each >= 1 && each <= 9999)
    .map((each) => started(season, each));
  const began = days.filter((day) => day <= today);
  return [...began.slice(-1), ...days.slice(began.length, began.length + 1)];
}

/** 29 February begins on 1 March in a common year. */
function started(season, year) {
  const isCommon = new Date(Date.UTC(year, 2, 0)).getUTCDate() === 28;
  return `${String(year).padStart(4, "0")}-${season === "02-29" && isCommon ? "03-01" : season}`;
}
