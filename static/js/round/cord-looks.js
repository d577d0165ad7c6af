// Later: which cords, extensions and adapters were looked over today: a visual look before each day's use, 29 CFR
// 1926.404(b)(1)(iii)(C).
import { html } from "../lib/html.js";
import { dayOf, localIso } from "../lib/times.js";
import { allRows } from "../outbox/queue.js";
import { dueOf } from "../rig/due.js";
import { momentOf, rigsOf } from "../rig/rig-of.js";
import { rigRules } from "../sync/rig-rules.js";
import { dueWords, isDue } from "./steps.js";

/** @import { DueRule, IncidentRule } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */

/**
 * @typedef {object} CordLook
 * @property {string} name
 * @property {string} way the address of its look
 * @property {boolean} isLooked whether every point was noted today, and none bad
 * @property {string} said
 */

/**
 * @param {Rig} rig
 * @param {string} today
 * @param {{due: DueRule[], incidents?: IncidentRule[]}|null} rules
 * @returns {CordLook[]} what is in use
 */
export function cordLooks(rig, today, rules) {
  const due = rules ? dueOf(rig, rules.due, today, rules.incidents) : [];
  return rig.sets
    .filter(({ body }) => !body.retired)
    .map((set) => {
      const [last] = rig
        .newest("look", set)
        .filter(({ body, record }) => body.of === "set-look" && dayOf(record.observed_at) === today);
      const owed = due.find(({ thing }) => ["set", "set-fixed"].includes(thing.what) && thing.subject === set.id);
      const looked = lookedAt(last, owed?.thing.struck?.at);
      const words = [SAID[looked], owed && isDue(owed) ? dueWords(owed) : ""].filter(Boolean).join("; ");
      const way = `/round#rig=${rig.id}&at=set-look-${set.id}`;
      return { name: set.body.name, way, isLooked: looked === "whole", said: words };
    });
}

/** @type {Record<string, string>} */
const SAID = {
  whole: "looked over today",
  not: "not looked over today",
  bad: "not found whole at today’s look",
  part: "only looked over in part today",
  before: "not looked over since the incident",
};

/**
 * @param {Chain<"look">|undefined} last look of today
 * @param {number|undefined} struck when an incident touched the set
 */
function lookedAt(last, struck) {
  if (!last) return "not";
  if (struck !== undefined && struck > momentOf(last)) return "before";
  const found = Object.values(last.body.points);
  if (found.includes("bad")) return "bad";
  return found.length && !last.body.not_tested.length ? "whole" : "part";
}

/** @param {CordLook[]} looks */
export const cordLooksMarkup = (looks) =>
  looks.length
    ? html`<h2>Before today’s use: look them over</h2>
    <ul class="due">${looks.map(
      ({ name, way, isLooked, said }) =>
        html`<li><a class="due-card" href="${way}"${isLooked ? html` data-done` : ""}><b>${name}</b> <span>${
          said
        }</span></a></li>`,
    )}</ul>`
    : html``;

/** Of every rig on this phone. @returns {Promise<ReturnType<typeof html>>} */
export async function todaysCordLooks() {
  const [rows, rules] = await Promise.all([allRows(), rigRules()]);
  const today = dayOf(localIso(new Date()));
  return cordLooksMarkup(rigsOf(rows).flatMap((rig) => cordLooks(rig, today, rules)));
}
