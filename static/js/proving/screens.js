// One screen a step. What stands ready in the page is put in where a screen names it in data-use.
import { keyOf } from "../engine/proving.js";
import { fill } from "../lib/fields.js";
import { html } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { spoken } from "../lib/times.js";
import { endedBy, missingFor, ruleOf, stateOf } from "../rig/proving.js";
import { wayTo } from "./overview.js";
import { testFor } from "./tests.js";
import { askOf, badWords, foundWords, hintOf, namedAt, placeOf, stateWords, UNITS } from "./words.js";

/** @import { ProvingStep } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Step } from "../engine/proving.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @typedef {{body: unknown, actions: unknown}} Screen markup */
/** @typedef {Record<string, string>} StepEntries what was typed at this step and not kept yet */

/** @param {Progress} progress @param {Step} step */
export function screen(progress, step) {
  const rule = ruleOf(progress, step);
  const missing = missingFor(progress, step);
  const { body, actions } = missing ? locked(progress, step, missing) : sortOf(rule)(progress, step);
  const state = stateOf(progress, step);
  const at = progress.steps.indexOf(step) + 1;
  return html`<form class="step" novalidate data-step="${step.rule}"><div class="step__body">
      ${
        at
          ? html`<progress class="progress" value="${at}" max="${progress.steps.length}"
            aria-label="Step ${at} of ${progress.steps.length}"></progress>`
          : ""
      }
      <p class="hint">${{ dead: "With the power off", live: "With power", shop: "By a shop" }[rule.when]}</p>
      <h1 tabindex="-1">${askOf(progress, step)}</h1>
      ${placeOf(progress, step) && html`<p class="proving-place">${placeOf(progress, step)}</p>`}
      ${
        missing
          ? ""
          : html`${
              hintOf(progress, step) && html`<p class="hint">${hintOf(progress, step)}</p>`
            }${use(`caution-${rule.id}`)}`
      }
      ${
        state === "open"
          ? ""
          : html`<p class="proof" data-state="${state}"${
              state === "bad" ? html` role="alert"` : ""
            }><b>${stateWords(progress, step)}</b>${
              state === "bad" ? html`<span>${badWords(rule, progress.newest.get(keyOf(step)))}</span>` : ""
            }</p>`
      }
      ${before(progress, step)}
      ${body}
      <fl-saved hidden></fl-saved>
      ${rule.optional ? "" : use("skip")}
    </div>
    <div class="actions">${use("back")}${actions}</div></form>`;
}

/**
 * All that was noted of a step before its newest proof; nothing of it is ever lost.
 * @param {Progress} progress
 * @param {Step} step
 */
function before({ rig, change }, step) {
  const [, ...noted] = rig
    .newest("proof", change)
    .filter(({ body }) => keyOf({ ...body, rule: body.step }) === keyOf(step));
  if (!noted.length) return "";
  return html`<section class="reasons" data-part="before"><h2>Noted before, oldest first</h2><ul>${noted
    .reverse()
    .map((proof) => html`<li>${foundWords(proof)}</li>`)}</ul></section>`;
}

/** @param {string} name */
const use = (name) => html`<i data-use="${name}"></i>`;

/** @param {ProvingStep} rule @returns {(progress: Progress, step: Step) => Screen} */
const sortOf = (rule) => (rule.record ? byTest : rule.good ? byValue : rule.optional ? byShop : byWord);

const ENDED = {
  power: "The rig has had power since: volts have to be shown absent again.",
  time: "What shows that volts are absent is too old: it has to be shown again.",
};

/** @param {Progress} progress @param {Step} step @param {Step} missing @returns {Screen} */
function locked(progress, step, missing) {
  const place = placeOf(progress, missing);
  const by = endedBy(progress, step);
  const ended = by && ENDED[by];
  return {
    body: html`<p class="notice" data-part="locked">${ended ? `${ended} ` : ""}Locked: first
      ${place && `at ${place}: `}“${askOf(progress, missing)}” has to stand${
        progress.rules.get(missing.rule)?.when === "dead" ? " good" : ""
      }.</p>`,
    actions: html`<a class="button button--main" data-next href="${wayTo(progress, missing)}">Go there</a>`,
  };
}

/** @param {Progress} progress @param {Step} step @returns {Screen} */
function byWord(progress, step) {
  return {
    body: namedAt(progress, step) ? use("named") : "",
    actions: html`<button type="submit" class="button button--quiet" data-outcome="bad">No</button><button
      type="submit" class="button button--main" data-next data-outcome="good">Yes</button>`,
  };
}

/** @param {Progress} progress @param {Step} step */
function byValue(progress, step) {
  const { unit } = ruleOf(progress, step);
  return {
    body: html`${use("value")}${unit === "V" ? "" : use("over")}${namedAt(progress, step) ? use("named") : ""}`,
    actions: html`<button type="submit" class="button button--main" data-next>Note it</button>`,
  };
}

/** @param {Progress} progress @param {Step} step @returns {Screen} */
function byTest(progress, step) {
  const { way, test, outcome, words } = testFor(progress, step);
  const isPress = ruleOf(progress, step).record === "trip-test";
  if (!way)
    return {
      body: html`<p class="notice">${
        isPress ? "This part is no device of the rig’s list" : "This part is no outlet of the rig’s list"
      }, so no test can be noted of it. Join it to one on the <a class="button button--quiet"
        href="/rigs/${progress.rig.id}">rig’s map</a></p>`,
      actions: "",
    };
  const make = isPress ? "Press TEST" : "Test this outlet";
  const since =
    progress.failedAt > -Infinity ? "since a step with power was bad" : "since the change and the steps before this";
  if (!test)
    return {
      body: html`<p>${
        isPress ? "No press of TEST" : step.rule === "under-load" ? "No test with a load" : "No test of it"
      } is noted ${since}.</p>`,
      actions: html`<a class="button button--main" data-next href="${way}">${make}</a>`,
    };
  const body = html`<p class="notice" data-found="${outcome}">${spoken(test.record.observed_at)}: ${words}</p>`;
  if (!outcome)
    return {
      body: html`${body}<p>That decides nothing yet.</p>`,
      actions: html`<a class="button button--main" data-next href="${way}">${make}</a>`,
    };
  return {
    body: html`${body}<a class="button button--quiet button--wide" href="${way}">${
      isPress ? "Press it again" : "Test it again"
    }</a>`,
    actions: html`<button type="submit" class="button button--main" data-next
      data-outcome="${outcome}">Note this test</button>`,
  };
}

const byShop = () => ({ body: use("shop"), actions: "" });

/**
 * Puts in what the screen names, and what was typed there before.
 * @param {HTMLElement} page that holds the screen and, beside it, what stands ready
 * @param {Progress} progress
 * @param {Step} step
 * @param {StepEntries} typed
 */
export function furnish(page, progress, step, typed) {
  /** @type {NodeListOf<HTMLElement>} */
  const places = page.querySelectorAll("[data-use]");
  for (const place of places) place.replaceWith(readyFor(page, place.dataset.use));
  const form = partOf(page, "form", HTMLFormElement);
  partOf(form, ".button--back", HTMLAnchorElement).href = `#${progress.place}`;
  const named = namedAt(progress, step);
  const label = form.querySelector('label[for="named"]');
  if (named && label) label.textContent = named.label;
  const unit = form.querySelector(".number--big .number__unit");
  if (unit) unit.textContent = UNITS[ruleOf(progress, step).unit] ?? "";
  fill(form, typed);
  if (typed.skip) partOf(form, "details", HTMLDetailsElement).open = true;
}

/** @param {HTMLElement} page @param {string|undefined} name @returns {Node|string} */
function readyFor(page, name) {
  /** @type {HTMLTemplateElement|null} */
  const ready = page.querySelector(`template[data-part="${name}"]`);
  return ready?.content.cloneNode(true) ?? "";
}
