// What is due of every rig, as the first page lists it: as many things as the round of that rig has.
import { loadDraft } from "../check/draft.js";
import { html } from "../lib/html.js";
import { dueOf } from "../rig/due.js";
import { endLines, endsOf } from "../rig/ends.js";
import { mapOf } from "../rig/map-of.js";
import { dueWords, isDue, stepsOf } from "./steps.js";
import { isOutside, struckCards } from "./struck.js";

/** @import { DueRule, IncidentRule } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { DueItem } from "../lib/due-items.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { Step } from "./steps.js" */

/** @typedef {{rig: Rig, step: Step}} RigStep */

const SHOWN = 3;

/**
 * @param {Rig[]} rigs
 * @param {DueRule[]} rules entries of the table of what comes round
 * @param {string} today
 * @param {IncidentRule[]} [incidents] entries of the table of incidents
 * @returns {Promise<{count: number, content: any}|null>} gravest first; null where nothing is due and no round was
 *   begun
 */
export async function dueList(rigs, rules, today, incidents) {
  const due = rigs.map((rig) => dueOf(rig, rules, today, incidents));
  const steps = rigs.map((rig, i) => owed(rig, due[i] ?? []));
  const grounds = due.map((items) => items.filter((item) => item.thing.what === "ground" && isDue(item)));
  const rounds = await Promise.all(rigs.map(async (rig) => ((await loadDraft(`round-${rig.id}`)) ? rig : null)));
  const all = steps.flat().sort((a, b) => gravity(a) - gravity(b));
  const struck = due.map((items) => items.filter(isOutside));
  if (
    !all.length &&
    ![...grounds, ...struck].flat().length &&
    !rigs.some((rig) => endLines(endsOf(rig), today).length) &&
    !rounds.some(Boolean)
  )
    return null;
  const [first, rest] = [all.slice(0, SHOWN), all.slice(SHOWN)];
  const content = html`${ways(
    rigs.filter((_, i) => rounds[i] || steps[i]?.length),
    rounds,
  )}
    ${list(first, rigs)}${
      rest.length ? html`<details class="more"><summary>${rest.length} more</summary>${list(rest, rigs)}</details>` : ""
    }${rigs.map((rig) => endCards(rig, today))}${rigs.map((rig, i) =>
      groundsCard(rig, grounds[i] ?? [], rigs.length > 1),
    )}${rigs.map((rig, i) => struckCards(rig, struck[i] ?? []))}`;
  return { count: all.length, content };
}

/** @param {Rig} rig @param {DueItem[]} items @returns {RigStep[]} */
const owed = (rig, items) =>
  stepsOf(rig, mapOf(rig).map, items)
    .filter((step) => step.isDue)
    .map((step) => ({ rig, step }));

/** What failed comes first, then the devices: many outlets hang on one of them. @param {RigStep} owed */
const gravity = ({ step }) =>
  step.due.some(({ standing }) => standing === "failed") ? 0 : step.what === "device" ? 1 : 2;

/** @param {Rig[]} rigs @param {(Rig|null)[]} begun */
const ways = (rigs, begun) =>
  rigs.map(
    (rig) =>
      html`<p class="due-way"><a class="button button--quiet button--wide" href="/round#rig=${rig.id}">${
        begun.includes(rig) ? "Go on with the round" : "Begin the round"
      }: ${rig.name}</a></p>`,
  );

/** @param {RigStep[]} steps @param {Rig[]} rigs */
const list = (steps, rigs) =>
  steps.length ? html`<ul class="due">${steps.map((each) => card(each, rigs.length > 1))}</ul>` : "";

/** @param {RigStep} owed @param {boolean} areSeveral */
function card({ rig, step }, areSeveral) {
  const at = step.what === "look" ? `at=${step.key}` : `${step.what}=${step.subject}`;
  return html`<li><a class="due-card" href="/round#rig=${rig.id}&${at}">
    <b>${step.name}${areSeveral ? ` · ${rig.name}` : ""}</b> <span>${step.due
      .filter(isDue)
      .map(dueWords)
      .join(", ")}</span>
  </a></li>`;
}

/** @param {Rig} rig @param {string} today */
const endCards = (rig, today) =>
  endLines(endsOf(rig), today).map(
    (line) =>
      html`<p class="due-way"><a class="due-card"
        href="/round#rig=${rig.id}&at=look-alarms"><span>${line}</span></a></p>`,
  );

/**
 * Grounds are shown with the power off, so they are none of the round's things.
 * @param {Rig} rig
 * @param {DueItem[]} grounds
 * @param {boolean} areSeveral
 */
function groundsCard(rig, grounds, areSeveral) {
  if (!grounds.length) return "";
  return html`<p class="due-way"><a class="due-card" href="/grounds#rig=${rig.id}"><b>With the power off${
    areSeveral ? ` · ${rig.name}` : ""
  }</b> <span>the ground of ${grounds.map(({ thing }) => `“${thing.name}”`).join(", ")} is to be shown</span></a></p>`;
}
