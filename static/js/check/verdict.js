// What a verdict looks like: word, shape, sentence and reason first, then what to do, why and the next test; all else
// is folded away.
import { html } from "../lib/html.js";
import { stepName } from "../lib/words.js";
import { titleMarkup } from "./banner.js";
import { explanationsMarkup, meaningOf, whyMarkup } from "./explanations.js";
import { familyOf, listOf, wordsOf } from "./family.js";
import { findingsMarkup, firstSentence, supplyMarkup } from "./findings.js";
import { reasonOf } from "./reason.js";
import { leftOpen } from "./settling.js";
import { nextTestMarkup, otherTestsMarkup } from "./tests.js";

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

/**
 * @typedef {object} CheckContext
 * @property {string} outlet
 * @property {"pedestal"|"rig"} [where] a rig's outlet is its owner's to see to
 * @property {string} [supply]
 * @property {string[]} [made] the tests that were made
 * @property {string[]} notTested
 * @property {import("./offer.js").Offer} [offer] the tests that can be added, where they can
 * @property {boolean} [isKept] whether it is looked at later, when what to do before plugging in is over
 */

/**
 * @param {Assessed} answer of assess
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 */
export function verdictMarkup(answer, rulebook, about) {
  return html`${bannerMarkup(answer, rulebook, about, "h2")}${reasonsMarkup(answer, rulebook, about)}`;
}

/**
 * What to do, why, and what next; the rest behind folds.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 */
export function reasonsMarkup(answer, rulebook, about) {
  const { outlet, notTested, isKept } = about;
  const next = isKept ? "" : nextTestMarkup(answer, rulebook, about);
  const isOpen = answer.verdict === "test-more";
  // What is wrong in the rig stays wrong until it is mended; an outlet of the site was left long ago.
  const isOfTheRig = about.where === "rig" && answer.verdict === "do-not-use";
  return html`
    ${
      notTested.includes("meter_proved")
        ? html`<p class="caution">The meter was not proved. Prove it on a known live outlet and read again before you
          rely on this.</p>`
        : ""
    }
    ${isOpen ? next : ""}
    ${isKept && !isOfTheRig ? "" : toDo(answer, rulebook, about)}
    ${whyMarkup(answer, rulebook, about)}
    ${isOpen ? "" : next}
    ${isKept ? "" : settlingMarkup(answer, rulebook, about)}
    <div class="folds">
    ${fold("What fits the readings", explanationsMarkup(answer, rulebook, about))}
    ${fold("What was noted", findingsMarkup(answer, rulebook, outlet, { levels: ["note"] }))}
    ${fold("The wiring up to here", supplyMarkup(answer, rulebook, outlet))}
    ${notRuledOut(answer, rulebook, outlet)}
    ${fold(`Not tested: ${notTested.length}`, listed(notTested.map(stepName), "Not tested is not passed."))}
    ${fold("Other tests you can add", otherTestsMarkup(rulebook, about))}
    ${isKept ? fold("The next test, as it was named", nextTestMarkup(answer, rulebook, about)) : ""}
    </div>
  `;
}

/**
 * The part that is read at arm's length.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 * @param {"h1"|"h2"} heading
 */
export function bannerMarkup(answer, rulebook, about, heading = "h1") {
  const { verdict } = answer;
  const [sentence, ...more] = saidOf(answer, rulebook, about);
  return html`<div class="verdict" data-verdict="${verdict}">
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#${verdict}"></use></svg>
    ${titleMarkup(rulebook.words.verdicts[verdict].word, heading)}
    <p class="verdict__sentence">${sentence}</p>${more.map((text) => html`<p class="verdict__why">${text}</p>`)}
  </div>`;
}

/**
 * The verdict's sentence, its reason, and what the readings cannot show. What points below is left out where it is
 * said here.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 * @returns {string[]}
 */
function saidOf(answer, rulebook, about) {
  const { sentence, kept } = rulebook.words.verdicts[answer.verdict];
  const said = answer.verdict === "use" ? firstSentence(sentence) : sentence;
  const open = isUsable(answer) ? openText(answer, rulebook, about) : "";
  return [about.isKept ? kept : said, reasonOf(answer, rulebook, about), open].filter(Boolean);
}

/**
 * What these readings cannot show, and the test that settles it: the same that a load has to wait for.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 */
function openText(answer, rulebook, about) {
  const { left, by, wasMade } = leftOpen(answer, familyOf(rulebook, about.outlet), about);
  /** @param {"explanations"|"tests"} kind @returns {(id: string) => string} */
  const called = (kind) => (id) => lowered(wordsOf(rulebook, about.outlet, kind, id).name ?? id);
  if (!left.length) return rulebook.words.findings[answer.findings.find(isOfLoad)?.id ?? ""]?.sentence ?? "";
  const names = inWords(left.map((id) => `“${called("explanations")(id)}”`));
  const settled = by.length ? `; to settle it: ${by.map(called("tests")).join("; ")}` : "";
  return `These readings cannot rule out ${names}${
    settled || (wasMade ? "; the test that can was made and did not settle it" : "")
  }.`;
}

/**
 * The tests that the banner names, where another one comes first.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 */
function settlingMarkup(answer, rulebook, { outlet, offer, ...at }) {
  if (!offer || !isUsable(answer)) return "";
  const { by } = leftOpen(answer, familyOf(rulebook, outlet), at);
  const ids = by.filter((id) => offer.next !== id && offer.others.some((other) => other.id === id && !other.isDone));
  if (!ids.length) return "";
  return html`<section class="reasons"><p>What settles what is named above:</p>${ids.map(
    (id) =>
      html`<button type="button" class="button button--quiet button--wide" data-add="${id}">${
        wordsOf(rulebook, outlet, "tests", id).name ?? id
      }</button>`,
  )}</section>`;
}

/** @param {Assessed} answer */
const isUsable = ({ verdict }) => ["use", "use-limited"].includes(verdict);

/** @param {string[]} names @returns {string} “a”, “b” or “c” */
const inWords = (names) => [names.slice(0, -1).join(", "), names.at(-1)].filter(Boolean).join(" or ");

/** What only a load shows is open until there was one. @param {{id: string}} finding */
const isOfLoad = ({ id }) => id === "not-loaded";

/** @param {string} text */
const lowered = (text) => text.charAt(0).toLowerCase() + text.slice(1);

/**
 * What is read aloud: the word, what the banner says, and the first thing to do.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 * @returns {string}
 */
export function spokenVerdict(answer, rulebook, about) {
  const { word } = rulebook.words.verdicts[answer.verdict];
  return [`${word}.`, ...saidOf(answer, rulebook, about), doNow(answer, rulebook, about.where)[0]]
    .filter(Boolean)
    .join(" ");
}

/**
 * What to do at the site's own outlet is not what to do at one's own.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {"pedestal"|"rig"} [where]
 */
function doNow({ verdict }, { words }, where) {
  const { do_now, at_rig } = words.verdicts[verdict];
  return (where === "rig" && at_rig) || do_now;
}

/**
 * What the verdict asks comes first; of the first explanation's only what was not said yet.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {CheckContext} about
 */
function toDo(answer, rulebook, { outlet, where }) {
  const first = answer.faults[0]?.id;
  const isPlain = !first || first === "correct" || ["use", "use-limited"].includes(answer.verdict) || where === "rig";
  const [now, ...then] = doNow(answer, rulebook, where);
  const said = sentencesOf([now ?? "", ...then]);
  const more = isPlain ? [] : sentencesOf(listOf(meaningOf(first, answer, rulebook, outlet).do_now));
  const fresh = more.filter((sentence) => !said.includes(sentence));
  return html`<section class="reasons"><h2>What to do now</h2>${listed([now ?? "", ...fresh, ...then])}</section>`;
}

/** @param {string[]} texts */
const sentencesOf = (texts) => texts.flatMap((text) => text.split(/(?<=[.!?])\s+/));

/**
 * The wirings that no tester between the contacts tells from a right one are a sentence, not a list that nobody
 * reads.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
function notRuledOut({ faults, not_ruled_out: left }, rulebook, outlet) {
  const names = left.map((id) => wordsOf(rulebook, outlet, "explanations", id).name ?? id);
  if (!names.length) return "";
  if (faults[0]?.id !== "correct") return fold("Not ruled out", listed(names));
  const { twins, twins_shown: shown } = rulebook.words;
  const text = [twins, `Not ruled out: ${names.join("; ")}.`, ...left.map((id) => shown?.[id] ?? "")];
  return fold("What this cannot show", html`<p>${text.filter(Boolean).join(" ")}</p>`);
}

/** @param {string[]} sentences @param {string} [note] */
function listed(sentences, note) {
  if (!sentences.length) return "";
  return html`<ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>${note ? html`<p>${note}</p>` : ""}`;
}

/** @param {string} title @param {ReturnType<typeof html>|string} content */
function fold(title, content) {
  if (!content) return "";
  return html`<details class="more fold"><summary>${title}</summary><div class="reasons">${content}</div></details>`;
}
