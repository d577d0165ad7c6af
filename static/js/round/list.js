// The round as a list: what it holds, how far it is, and what came of it.
import { html } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { dueWords, isDue, loadDue } from "./steps.js";
import { struckCards } from "./struck.js";

/** @import { DueItem } from "../lib/due-items.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { Step } from "./steps.js" */

/** @param {Rig[]} rigs */
export function rigsMarkup(rigs) {
  if (rigs.length)
    return html`<h1 tabindex="-1">Round: which rig?</h1><ul class="due">${rigs.map(
      ({ id, name }) => html`<li><a class="due-card" href="#rig=${id}"><b>${name}</b></a></li>`,
    )}</ul>`;
  return html`<h1 tabindex="-1">Round</h1>
    <p>This phone knows no rig yet. Note one under <a href="/rigs">Rigs</a>, with its outlets and ground-fault devices.
      Once you are signed in here it comes to this phone by itself.</p>`;
}

/**
 * @param {Rig} rig
 * @param {{inRound: Step[], others: Step[], grounds: DueItem[], struck: DueItem[],
 *   states: Map<string, string|undefined>, before?: Map<string, string|null>, startedAt: string|null,
 *   hasMore: boolean}} round before: what is said of a step that was noted before an incident
 */
export function listMarkup(rig, { inRound, others, grounds, struck, states, before, startedAt, hasMore }) {
  const done = inRound.filter(({ key }) => states.get(key)).length;
  return html`<h1 tabindex="-1">Round: ${rig.name}</h1>
    <p>${
      startedAt
        ? `Begun ${spoken(startedAt)}. ${done} of ${inRound.length} done.`
        : inRound.length
          ? `${
              inRound.length === 1 ? "One thing is" : `${inRound.length} things are`
            } due. Stop when you like: the round waits on this phone.`
          : "Nothing is due now."
    }</p>
    ${hasMore ? html`<p><a class="button button--quiet" href="#">Another rig</a></p>` : ""}
    ${cards(rig, inRound, states, before)}
    ${
      grounds.length
        ? html`<h2>With the power off</h2><p>The ground of ${named(grounds)} is to be shown by ohms. <a
          class="button button--quiet" href="/grounds#rig=${rig.id}">Show it</a></p>`
        : ""
    }
    ${struck.length ? html`<h2>After an incident</h2>${struckCards(rig, struck)}` : ""}
    ${
      others.length
        ? html`<details class="more"${
            inRound.length ? "" : html` open`
          }><summary>Not due yet</summary>${cards(rig, others, states, before)}</details>`
        : ""
    }
    ${
      inRound.length + others.length
        ? ""
        : html`<p>Nothing is noted of this rig yet. <a class="button button--quiet"
        href="/rigs/${rig.id}">Note its outlets and devices</a></p>`
    }
    <p><a class="button button--quiet button--wide" href="/sets/new#rig=${
      rig.id
    }">Note a cord, extension or adapter</a></p>
    <p><a class="button button--quiet button--wide"
        href="/incidents/new#rig=${rig.id}">Something went wrong: note it</a></p>`;
}

/** @param {DueItem[]} grounds */
const named = (grounds) => grounds.map(({ thing }) => `“${thing.name}”`).join(", ");

/**
 * @param {Rig} rig
 * @param {Step[]} steps
 * @param {Map<string, string|undefined>} states
 * @param {Map<string, string|null>} [before]
 */
const cards = (rig, steps, states, before) =>
  html`<ul class="due round-list">${steps.map((step) =>
    card(rig, step, states.get(step.key), before?.get(step.key) ?? ""),
  )}</ul>`;

/** @param {Rig} rig @param {Step} step @param {string|undefined} state @param {string} before an incident */
function card(rig, step, state, before) {
  const { key, name, subject, of, due, isDue: owed } = step;
  const usual = of === "set-look" ? "before each day’s use" : "";
  const words = state ?? (before || (owed ? due.filter(isDue) : due).map(dueWords).join(", ") || usual);
  const load = state && loadDue(step);
  const way = load
    ? html`<p>Its load stays due: ${dueWords(load)}. <a class="button button--quiet"
      href="/outlets/${subject}">Test it with a known load<span class="visually-hidden">: ${name}</span></a></p>`
    : "";
  return html`<li><a class="due-card"
    href="#rig=${rig.id}&at=${key}"${state ? html` data-done` : ""}><b>${name}</b><span>${words}</span></a>${way}</li>`;
}

/** @param {{startedAt: string|null, isReady: boolean}} round */
export function listActions({ startedAt, isReady }) {
  if (!isReady) return html``;
  return startedAt
    ? html`<button type="button" class="button button--quiet" data-end>End here: skip the rest</button><button
      type="button" class="button button--main" data-next data-go>Go on</button>`
    : html`<button type="button" class="button button--quiet"
      data-go>Wet, or thunder: begin without probing</button><button type="button" class="button button--main"
        data-next data-go="dry">Dry, no thunder: begin</button>`;
}

/** @param {Rig} rig @returns {[ReturnType<typeof html>, ReturnType<typeof html>]} a page and its buttons */
export const notEnded = ({ name }) => [
  html`<h1 tabindex="-1">Round: ${name}</h1><p class="notice"
    role="alert">The end of the round was not saved: the phone’s storage refused it. All steps are kept.</p>`,
  html`<button type="button" class="button button--main" data-end>Try again</button>`,
];

/**
 * @param {Rig} rig
 * @param {{name: string, state: string}[]} came
 */
export function endMarkup(rig, came) {
  const skipped = came.filter(({ state }) => state.startsWith("Skipped")).length;
  return html`<h1 tabindex="-1">Round ended: ${rig.name}</h1>
    <p>${came.length - skipped} noted, ${skipped} skipped. Skipped is not tested, and stays due.</p>
    <fl-saved></fl-saved>
    <ul class="round-came">${came.map(({ name, state }) => html`<li><b>${name}</b>: ${state}</li>`)}</ul>`;
}
