// A change as a list: what was done, how far it is proved, and every step.
import { keyOf } from "../engine/proving.js";
import { html } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { missingFor, nextStep, ruleOf, stateOf } from "../rig/proving.js";
import { nameOf } from "../rig/words.js";
import { askOf, changeWords, placeOf, stateWords } from "./words.js";

/** @import { ProvingStep } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Step } from "../engine/proving.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { Chain } from "../rig/rig-of.js" */

/** @param {Progress} progress of a change */
export function overviewMarkup(progress) {
  const { rig, map } = progress;
  const change = /** @type {Chain<"change">} */ (progress.change);
  const { what, why, wire, device, parts } = change.body;
  const names = parts
    .map((id) => map.parts.find((part) => part.id === id))
    .map((part) => (part ? nameOf(part) : "a part that is no longer on the map"));
  const facts = [
    ["Why", why],
    ["Parts", names.join(", ")],
    ["Wire", wire],
    ["Device", device],
    ["Noted", spoken(change.record.observed_at)],
  ];
  return html`<h1 tabindex="-1">${what}</h1>
    ${stateMarkup(progress, changeWords(progress))}
    <fl-saved></fl-saved>
    <dl class="proving-facts">${facts
      .filter(([, text]) => text)
      .map(([name, text]) => html`<div><dt>${name}</dt><dd>${text}</dd></div>`)}</dl>
    <h2>First, with the power off</h2>${groups(progress, "dead")}
    <h2>Then, with power</h2>${groups(progress, "live")}
    <h2>If a shop tested it</h2>${groups(progress, "shop")}
    <p><a class="button button--quiet" href="/rigs/${rig.id}">The rig: ${rig.name}</a></p>`;
}

/** @param {Progress} progress @param {string} words how it stands */
export function stateMarkup(progress, words) {
  const { steps, state } = progress;
  const good = steps.filter((step) => stateOf(progress, step) === "good").length;
  return html`<div class="proving-state" data-state="${state}"
    role="status"><b>${words}</b><span>${good} of ${steps.length} steps stand good</span></div>`;
}

/** @param {Progress} progress @param {string} leave what it is to leave it as it is */
export function overviewActions(progress, leave) {
  const next = nextStep(progress);
  if (next)
    return html`<a class="button button--main" data-next href="${wayTo(progress, next)}">Go on: ${
      ruleOf(progress, next).when === "live" ? "with power" : "power off"
    }</a>`;
  const isDone = progress.state === "proved";
  return html`<a class="button button--main" data-next href="/">${isDone ? "Done" : leave}</a>`;
}

/** @param {Progress} progress @param {Step} step @returns {string} */
export const wayTo = ({ place }, step) => `#${place}at=${encodeURIComponent(keyOf(step))}`;

/** @param {Progress} progress @param {"dead"|"live"|"shop"} when */
export function groups(progress, when) {
  const rules = [...progress.rules.values()].filter((rule) => rule.when === when);
  return html`<ul class="proofs">${rules.flatMap((rule) => groupsOf(progress, rule))}</ul>`;
}

/**
 * Steps of one rule, those apart that are asked in other words.
 * @param {Progress} progress
 * @param {ProvingStep} rule
 */
function groupsOf(progress, rule) {
  const own = progress.steps.filter((step) => step.rule === rule.id);
  if (!own.length)
    return rule.optional ? [html`<li>${card(progress, { rule: rule.id, part: null, pair: null }, rule.ask)}</li>`] : [];
  return [...new Set(own.map((step) => askOf(progress, step)))].map((ask) =>
    group(
      progress,
      ask,
      own.filter((step) => askOf(progress, step) === ask),
    ),
  );
}

/**
 * Steps of one kind; where there are many, they open.
 * @param {Progress} progress
 * @param {string} ask
 * @param {Step[]} own
 */
function group(progress, ask, own) {
  const [only, ...others] = own;
  if (only && !others.length) return html`<li>${card(progress, only, ask)}</li>`;
  const good = own.filter((step) => stateOf(progress, step) === "good").length;
  const counted = `(${good} of ${own.length} good)`;
  const next = nextStep(progress);
  const isNow = next !== undefined && own.includes(next);
  return html`<li><details class="more"${isNow ? html` open` : ""}><summary><span>${ask} ${counted}</span></summary>
    <ul class="proofs">${own.map((step) => html`<li>${card(progress, step)}</li>`)}</ul></details></li>`;
}

/** @param {Progress} progress @param {Step} step */
function card(progress, step, ask = "") {
  const state = stateOf(progress, step);
  const place = placeOf(progress, step);
  const isLocked = state === "open" && missingFor(progress, step);
  return html`<a class="proof" data-state="${isLocked ? "locked" : state}"
    href="${wayTo(progress, step)}"><b>${ask || place}</b>${
      ask && place && html`<span>${place}</span>`
    }<span>${isLocked ? "Locked for now" : stateWords(progress, step)}</span></a>`;
}
