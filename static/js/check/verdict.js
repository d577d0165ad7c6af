// What a verdict looks like: word, shape and sentence first, then what to do, then the reasons.
import { html } from "../lib/html.js";
import { howSure } from "../lib/sure.js";
import { PAIRS, stepName } from "../lib/words.js";

const SHOWN_FROM = 0.01;

/**
 * @param {Record<string, any>} answer of assess
 * @param {Record<string, any>} rulebook
 * @param {{notTested: string[], heading?: "h1"|"h2"}} about
 */
export function verdictMarkup(answer, rulebook, { notTested, heading = "h1" }) {
  return html`${bannerMarkup(answer, rulebook, heading)}${reasonsMarkup(answer, rulebook, notTested)}`;
}

/**
 * What to do, and why. A fault stands before all else that was found.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {string[]} notTested
 */
export function reasonsMarkup(answer, rulebook, notTested) {
  const { words } = rulebook;
  const why = explanations(answer.faults, words);
  const isRight = answer.faults[0]?.id === "correct";
  return html`
    ${notTested.includes("meter_proved") ? html`<p class="caution">The meter was not proved. Prove it on a known live outlet and read again before you rely on this.</p>` : ""}
    ${toDo(answer, words)}
    ${isRight ? "" : why}
    ${findings(answer.findings, words)}
    ${nextTest(answer, words)}
    ${isRight ? why : ""}
    ${notRuledOut(answer, words)}
    ${listed("Not tested", notTested.map(stepName), "Not tested is not passed.")}
  `;
}

/**
 * The part that is read at arm's length.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {"h1"|"h2"} heading
 */
export function bannerMarkup(answer, { words }, heading = "h1") {
  const { verdict } = answer;
  const cause = causeOf(answer, words);
  return html`<div class="verdict" data-verdict="${verdict}">
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#${verdict}"></use></svg>
    ${title(words.verdicts[verdict].word, heading)}
    <p class="verdict__sentence">${words.verdicts[verdict].sentence}${cause ? ` ${cause}` : ""}</p>
  </div>`;
}

/** Why, in a few words, where a fault is the first explanation. */
function causeOf({ faults }, words) {
  const first = faults[0]?.id;
  return !first || first === "correct" ? "" : `${words.explanations[first]?.name ?? first}.`;
}

/**
 * Where there is no verdict the page says so and looks like none.
 * @param {string} sentence
 * @param {"h1"|"h2"} [heading]
 */
export function failureMarkup(sentence, heading = "h1") {
  return html`<div class="verdict verdict--none" data-no-verdict>
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#none"></use></svg>
    ${title("No verdict", heading)}
    <p class="verdict__sentence">${sentence}</p>
  </div>`;
}

const title = (word, heading) =>
  heading === "h1" ? html`<h1 class="verdict__word" tabindex="-1">${word}</h1>` : html`<h2 class="verdict__word">${word}</h2>`;

/**
 * What is read aloud: the word, the sentence and the first thing to do.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @returns {string}
 */
export function spokenVerdict(answer, rulebook) {
  const { word, sentence, do_now } = rulebook.words.verdicts[answer.verdict];
  return [`${word}.`, sentence, do_now[0]].filter(Boolean).join(" ");
}

function toDo(answer, words) {
  const first = answer.faults[0]?.id;
  const useful = ["use", "use-limited"].includes(answer.verdict) || first === "correct" ? [] : [words.explanations[first]?.do_now ?? []].flat();
  return listed("What to do now", [...new Set([...useful, ...words.verdicts[answer.verdict].do_now])]);
}

function findings(found, words) {
  if (!found.length) return "";
  return html`<section class="reasons"><h2>What was found</h2><ul class="findings">
    ${found.map((finding) => html`<li class="finding" data-level="${finding.level}"><p><b>${LEVELS[finding.level]}:</b> ${words.findings[finding.id]?.sentence ?? finding.id}</p>${figures(finding)}</li>`)}
  </ul></section>`;
}

const LEVELS = { stop: "Stop", limit: "Limit", note: "Note" };

function figures({ quantity, value, uncertainty, limit, source, straddles }) {
  const unit = unitOf(quantity);
  const read = typeof value === "number" ? html`${PAIRS[quantity] ?? ""} ${value} ${uncertainty ? `± ${short(uncertainty)} ` : ""}${unit}. ` : "";
  const border = typeof limit === "number" ? html`The limit is ${limit} ${unit}. ` : "";
  const across = straddles ? "The reading itself is better than that; the meter’s error reaches over the limit. " : "";
  return read || border || source ? html`<p class="finding__figures">${read}${border}${across}${source ? `Source: ${source}` : ""}</p>` : "";
}

function unitOf(quantity) {
  if (quantity in PAIRS || quantity === "skin") return "V";
  return { hertz: "Hz", breaker_amps: "A", milliseconds: "ms" }[quantity] ?? "";
}

const short = (number) => Math.floor(number * 10 + 0.5) / 10;

function nextTest({ next_test: next, verdict }, words) {
  const test = next && words.tests[next.id];
  if (!test) return "";
  const heading = verdict === "do-not-use" ? "Only if you look for the fault" : "Next test";
  return html`<section class="reasons"><h2>${heading}</h2><p><b>${test.name}.</b> ${test.how}</p>
    ${test.needs ? html`<p>Needs: ${test.needs}</p>` : ""}${test.caution ? html`<p class="caution">${test.caution}</p>` : ""}</section>`;
}

function explanations(faults, words) {
  const shown = faults.filter(({ probability }, i) => i === 0 || probability >= SHOWN_FROM);
  if (!shown.length) return "";
  return html`<section class="reasons"><h2>What fits the readings</h2><ol class="explanations">
    ${shown.map((fault) => explanation(fault, words.explanations[fault.id]))}
  </ol></section>`;
}

function explanation({ id, probability }, words) {
  return html`<li><p><b>${words?.name ?? id}</b>: ${howSure(probability)}</p>
    ${words?.sentence ? html`<p>${words.sentence}</p>` : ""}${words?.people ? html`<p>${words.people}</p>` : ""}</li>`;
}

/** The wirings that no tester between the contacts tells from a right one are one sentence, not a list that nobody reads. */
function notRuledOut(answer, words) {
  const names = answer.not_ruled_out.map((id) => words.explanations[id]?.name ?? id);
  if (!names.length) return "";
  if (answer.faults[0]?.id === "correct") return html`<section class="reasons"><h2>What this cannot show</h2><p>${words.twins}</p></section>`;
  return listed("Not ruled out", names);
}

function listed(title, sentences, note) {
  if (!sentences.length) return "";
  return html`<section class="reasons"><h2>${title}</h2><ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>${note ? html`<p>${note}</p>` : ""}</section>`;
}
