// What a verdict looks like: word, shape and sentence first, then what to do, then the reasons.
import { html } from "../lib/html.js";
import { stepName } from "../lib/words.js";
import { titleMarkup } from "./banner.js";
import { explanationsMarkup, meaningOf } from "./explanations.js";
import { listOf, wordsOf } from "./family.js";
import { findingsMarkup, supplyMarkup } from "./findings.js";
import { nextTestMarkup, otherTestsMarkup } from "./tests.js";

/**
 * @typedef {object} About
 * @property {string} outlet
 * @property {"pedestal"|"rig"} [where] a rig's outlet is its owner's to see to
 * @property {string[]} notTested
 * @property {import("./offer.js").Offer} [offer] the tests that can be added, where they can
 */

/**
 * @param {Record<string, any>} answer of assess
 * @param {Record<string, any>} rulebook
 * @param {About & {heading?: "h1"|"h2"}} about
 */
export function verdictMarkup(answer, rulebook, { heading = "h1", ...about }) {
  return html`${bannerMarkup(answer, rulebook, about.outlet, heading)}${reasonsMarkup(answer, rulebook, about)}`;
}

/**
 * What to do, and why. A fault stands before all else that was found, and the next test before all else that is not
 * settled.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {About} about
 */
export function reasonsMarkup(answer, rulebook, about) {
  const { outlet, notTested } = about;
  const why = explanationsMarkup(answer, rulebook, about);
  const next = nextTestMarkup(answer, rulebook, about);
  const isRight = answer.faults[0]?.id === "correct";
  const isOpen = answer.verdict === "test-more";
  return html`
    ${
      notTested.includes("meter_proved")
        ? html`<p class="caution">The meter was not proved. Prove it on a known live outlet and read again before you
          rely on this.</p>`
        : ""
    }
    ${isOpen ? next : ""}
    ${toDo(answer, rulebook, about)}
    ${isRight ? "" : why}
    ${findingsMarkup(answer, rulebook, outlet)}
    ${supplyMarkup(answer, rulebook, outlet)}
    ${isOpen ? "" : next}
    ${isRight ? why : ""}
    ${notRuledOut(answer, rulebook, outlet)}
    ${listed("Not tested", notTested.map(stepName), "Not tested is not passed.")}
    ${otherTestsMarkup(rulebook, about)}
  `;
}

/**
 * The part that is read at arm's length.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {string} outlet
 * @param {"h1"|"h2"} heading
 */
export function bannerMarkup(answer, rulebook, outlet, heading = "h1") {
  const { verdict } = answer;
  const { words } = rulebook;
  const cause = causeOf(answer, rulebook, outlet);
  return html`<div class="verdict" data-verdict="${verdict}">
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#${verdict}"></use></svg>
    ${titleMarkup(words.verdicts[verdict].word, heading)}
    <p class="verdict__sentence">${words.verdicts[verdict].sentence}${cause ? ` ${cause}` : ""}</p>
  </div>`;
}

/** Why, in a few words, where a fault is the first explanation. */
function causeOf({ faults }, rulebook, outlet) {
  const first = faults[0]?.id;
  return !first || first === "correct" ? "" : `${wordsOf(rulebook, outlet, "explanations", first).name ?? first}.`;
}

/**
 * What is read aloud: the word, the sentence and the first thing to do.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {"pedestal"|"rig"} [where]
 * @returns {string}
 */
export function spokenVerdict(answer, rulebook, where) {
  const { word, sentence } = rulebook.words.verdicts[answer.verdict];
  return [`${word}.`, sentence, doNow(answer, rulebook, where)[0]].filter(Boolean).join(" ");
}

/** What to do at the site's own outlet is not what to do at one's own. */
function doNow({ verdict }, { words }, where) {
  const { do_now, at_rig } = words.verdicts[verdict];
  return (where === "rig" && at_rig) || do_now;
}

function toDo(answer, rulebook, { outlet, where }) {
  const first = answer.faults[0]?.id;
  const isPlain = !first || first === "correct" || ["use", "use-limited"].includes(answer.verdict) || where === "rig";
  const useful = isPlain ? [] : listOf(meaningOf(first, answer, rulebook, outlet).do_now);
  return listed("What to do now", [...new Set([...useful, ...doNow(answer, rulebook, where)])]);
}

/**
 * The wirings that no tester between the contacts tells from a right one are a sentence, not a list that nobody
 * reads.
 */
function notRuledOut({ faults, not_ruled_out: left }, rulebook, outlet) {
  const names = left.map((id) => wordsOf(rulebook, outlet, "explanations", id).name ?? id);
  if (!names.length) return "";
  if (faults[0]?.id !== "correct") return listed("Not ruled out", names);
  const { twins, twins_shown: shown } = rulebook.words;
  return html`<section class="reasons"><h2>What this cannot show</h2>
    <p>${[twins, `Not ruled out: ${names.join("; ")}.`, ...left.map((id) => shown?.[id] ?? "")]
      .filter(Boolean)
      .join(" ")}</p></section>`;
}

function listed(heading, sentences, note) {
  if (!sentences.length) return "";
  return html`<section class="reasons"><h2>${heading}</h2><ul>${sentences.map(
    (sentence) => html`<li>${sentence}</li>`,
  )}</ul>${note ? html`<p>${note}</p>` : ""}</section>`;
}
