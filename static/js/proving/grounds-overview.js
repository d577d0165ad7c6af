// The grounds of a rig as a list: how far they are shown, and every step.
import { html } from "../lib/html.js";
import { spokenDay } from "../lib/times.js";
import { provedOn } from "../rig/proving.js";
import { outletsLeftOut } from "./grounds-progress.js";
import { groups, stateMarkup } from "./overview.js";

/** @typedef {import("../rig/proving.js").Progress} Progress */

/** @param {Progress} progress */
export function groundsMarkup(progress) {
  const { rig, rules, newest, state, steps } = progress;
  const days = [...rules.values()].find(({ alone_days: each }) => each)?.alone_days;
  return html`<h1 tabindex="-1">The grounds: ${rig.name}</h1>
    ${
      steps.length
        ? stateMarkup(progress, groundWords(progress))
        : html`<p class="notice">No outlet is noted of this rig yet.</p>`
    }
    ${newest.size ? html`<fl-saved></fl-saved>` : ""}
    ${
      state === "failed"
        ? html`<p class="caution">Leave the rig unplugged. What you mend is a change to the wiring: it is proved before
          use, in steps of its own. <a class="button button--quiet"
            href="/changes/new#rig=${rig.id}">Note the change</a></p>`
        : ""
    }
    <p>For wiring that nobody changed. What was noted in the last ${days} days and since the last change counts; what
      is older is done anew.</p>
    ${leftOutMarkup(progress)}
    ${steps.length ? html`<h2>With the power off</h2>${groups(progress, "dead")}` : ""}
    <p><a class="button button--quiet" href="/rigs/${rig.id}">The rig: ${rig.name}</a></p>`;
}

function leftOutMarkup(progress) {
  const names = outletsLeftOut(progress).map(({ body }) => `“${body.name}”`);
  return names.length
    ? html`<p class="notice">Not on the map as an outlet, so no step shows its ground: ${names.join(", ")}. <a
      class="button button--quiet" href="/rigs/${progress.rig.id}/map">The map</a></p>`
    : "";
}

function groundWords(progress) {
  if (progress.state === "proved")
    return `Every ground shown ${spokenDay(provedOn(progress))}: entered by the owner, not an inspection`;
  return progress.state === "failed" ? "Not shown: a step is bad" : "Not every ground is shown";
}

/** @param {import("../rig/rig-of.js").Rig[]} rigs that the phone knows */
export function rigsMarkup(rigs) {
  return html`<h1 tabindex="-1">Showing the grounds: which rig?</h1>
    ${
      rigs.length
        ? html`<ul class="due">${rigs.map(
            ({ id, name }) => html`<li><a class="due-card" href="#rig=${id}"><b>${name}</b></a></li>`,
          )}</ul>`
        : html`<p>This phone knows no such rig yet.</p>`
    }
    <p>A rig that is not here: note it under <a class="button button--quiet" href="/rigs">Rigs</a></p>
    <p>Once you are signed in here it comes to this phone by itself.</p>`;
}
