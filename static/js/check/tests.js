// A test that may tell the explanations apart: on the verdict screen a way to it, on its own screen how it is done.
import { html } from "../lib/html.js";
import { AGAIN, againTitle } from "./again.js";
import { listOf, wordsOf } from "./family.js";

/** @import { Assessed, NextTest } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook, Words } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Bar } from "./barred.js" */
/** @import { Offer } from "./offer.js" */

/**
 * The proposed test, with one big button where it can be entered at once, and how it is done where it cannot.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {{outlet: string, offer?: Offer}} about
 */
export function nextTestMarkup({ next_test: proposed, verdict }, rulebook, { outlet, offer }) {
  const test = proposed && testWords(proposed, rulebook, outlet);
  if (!proposed || !test?.name || (offer && offer.next !== proposed.id)) return "";
  return html`<section class="reasons"><h2>${
    verdict === "do-not-use" ? "Only if you look for the fault" : "Next test"
  }</h2>
    ${
      offer
        ? html`<button type="button" class="button button--wide" data-add="${proposed.id}">${test.name}</button>`
        : html`<p><b>${test.name}.</b></p>`
    }
    ${test.needs ? html`<p>Needs: ${test.needs}</p>` : ""}${offer ? "" : howMarkup(test)}</section>`;
}

/**
 * A pair to be read again is called by its contacts.
 * @param {NextTest} proposed
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
function testWords({ id, pairs = [] }, rulebook, outlet) {
  const words = wordsOf(rulebook, outlet, "tests", id);
  return id === AGAIN ? { ...words, name: againTitle(pairs) } : words;
}

/**
 * @param {Rulebook} rulebook
 * @param {{outlet: string, offer?: Offer}} about
 */
export function otherTestsMarkup(rulebook, { outlet, offer }) {
  if (!offer || !(offer.others.length + offer.notYet.length)) return "";
  /** @param {string} id */
  const name = (id) => wordsOf(rulebook, outlet, "tests", id).name ?? id;
  return html`<div class="other-tests">
    ${offer.others.map(
      ({ id, isDone }) =>
        html`<button type="button" class="button button--quiet button--wide" data-add="${id}"><span>${name(id)}${
          isDone ? html` <span class="whole">(entered)</span>` : ""
        }</span></button>`,
    )}
  </div>${
    offer.notYet.length
      ? notYetMarkup(offer, name, (id) => wordsOf(rulebook, outlet, "explanations", id).name ?? id)
      : ""
  }`;
}

/**
 * Says what stands in the way of a test, and leads to what would clear it.
 * @param {Offer} offer
 * @param {(id: string) => string} name
 * @param {(id: string) => string} called
 */
function notYetMarkup({ notYet, barred }, name, called) {
  const first = barred?.first ?? [];
  return html`<h3>Not yet</h3><p>${notYet.map(name).join("; ")}.</p><p class="hint">${whyNotYet(barred, called)}</p>
    ${
      first.length
        ? html`<p>What would rule that out:</p><div class="other-tests">${first.map(
            (id) =>
              html`<button type="button" class="button button--quiet button--wide"
                data-add="${id}">${name(id)}</button>`,
          )}</div>`
        : ""
    }`;
}

/** @param {Bar|null} barred @param {(id: string) => string} called */
function whyNotYet(barred, called) {
  if (barred?.why === "not-used") return "An outlet that is not to be used gets no load.";
  if (barred?.why === "standing")
    return `A load here is dangerous under what is not ruled out: ${barred.by.map(called).join("; ")}.`;
  return "What was read fits nothing known well enough. Read what was left out, or read it again.";
}

/**
 * The caution and the steps, for where the hand is.
 * @param {{caution?: string, how?: string|string[]}} test its words
 */
export function howMarkup({ caution, how }) {
  return html`${caution ? html`<p class="caution">${caution}</p>` : ""}${orders(listOf(how))}`;
}

/**
 * How to find an earth outside the outlet, and what to keep from.
 * @param {Words["earth"]|undefined} earth words of the rulebook
 */
export function earthMarkup(earth) {
  if (!earth) return "";
  return html`<section class="reasons">
    <ul class="caution">${earth.cautions.map((caution) => html`<li>${caution}</li>`)}</ul>
    <h2>${earth.title}</h2>
    <p>Some metres away, and joined to nothing of the pedestal: ${earth.good.join("; ")}.</p>
    <p>Not: ${earth.not.join("; ")}.</p>${orders(earth.how)}</section>`;
}

/** @param {string[]} steps */
const orders = (steps) =>
  steps.length ? html`<ol class="orders orders--short">${steps.map((step) => html`<li>${step}</li>`)}</ol>` : "";
