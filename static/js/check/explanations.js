// What fits the readings: of the first explanation what it means for people; the rest and the others are folded.
import { html } from "../lib/html.js";
import { SHOWN_FROM } from "../lib/shown.js";
import { howSure } from "../lib/sure.js";
import { drawingFigure } from "./drawing.js";
import { familyOf, listOf, wordsOf } from "./family.js";
import { findingsMarkup, gravestOf, unnamedWiring } from "./findings.js";

/** @import { Assessed, Explanation } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {ReturnType<typeof meaningOf>} Meaning */
/**
 * What to do about one is said for a site's outlet while one stands there; in a rig the verdict says it.
 * @typedef {{outlet: string, where?: "pedestal"|"rig", isKept?: boolean}} ExplanationContext
 */

/**
 * Why: the first explanation with what it does to people, and the findings that set a limit.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {ExplanationContext} about
 */
export function whyMarkup(answer, rulebook, { outlet }) {
  const [first] = answer.faults;
  const grave = findingsMarkup(answer, rulebook, outlet, { levels: ["stop", "limit"], said: gravestOf(answer) });
  if (!first && !grave) return "";
  return html`<section class="reasons"><h2>Why</h2>${first ? firstMarkup(first, answer, rulebook, outlet) : ""}${
    grave
  }</section>`;
}

/** @param {Explanation} first @param {Assessed} answer @param {Rulebook} rulebook @param {string} outlet */
function firstMarkup({ id, probability }, answer, rulebook, outlet) {
  const said = meaningOf(id, answer, rulebook, outlet);
  const isRight = id === "correct";
  return html`<div class="explanation"><p><b>${said.name ?? id}</b>: ${howSure(probability)}</p>${
    isRight || !said.sentence ? "" : html`<p>${said.sentence}</p>`
  }${isRight || !said.people ? "" : html`<p><b>People:</b> ${said.people}</p>`}</div>`;
}

/**
 * All that fits, each with its drawing; of the first what was not said above.
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {ExplanationContext} about
 */
export function explanationsMarkup(answer, rulebook, { outlet, where, isKept }) {
  const shown = answer.faults.filter(({ probability }, i) => i === 0 || probability >= SHOWN_FROM);
  if (!shown.length) return "";
  return html`<ol class="explanations">
    ${shown.map((one, i) =>
      explanation(one, withoutComfort(one.id, answer, meaningOf(one.id, answer, rulebook, outlet)), {
        isFirst: i === 0,
        orders: where !== "rig" && !isKept,
      }),
    )}
  </ol>`;
}

/**
 * What is said and drawn of an explanation. Where nothing with a name comes first, the unnamed wiring that fits best
 * is meant.
 * @param {string} id
 * @param {Assessed} answer
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
export function meaningOf(id, answer, rulebook, outlet) {
  const words = wordsOf(rulebook, outlet, "explanations", id);
  const { contacts, wirings } = familyOf(rulebook, outlet);
  const best = id === "other" ? answer.findings.find((finding) => finding.id === "unnamed-wiring") : null;
  const wiring = best ? unnamedWiring(best.quantity, rulebook, outlet) : wirings.find((each) => each.id === id);
  const { people, appliances, do_now } = rulebook.words.unnamed;
  return {
    ...words,
    ...(best && { people, appliances, do_now }),
    draw: () => (wiring ? drawingFigure(wiring.variants, contacts, rulebook.words) : ""),
  };
}

/**
 * That right wiring harms nobody is said only where nothing else was found that may.
 * @param {string} id
 * @param {Assessed} answer
 * @param {Meaning} said
 * @returns {Meaning}
 */
function withoutComfort(id, { verdict }, said) {
  return id === "correct" && verdict !== "use" ? { ...said, people: "", appliances: "" } : said;
}

/** @param {Explanation} one @param {Meaning} said @param {{isFirst: boolean, orders: boolean}} how */
function explanation({ id, probability }, said, { isFirst, orders }) {
  const more = html`${said.appliances ? html`<p><b>Appliances:</b> ${said.appliances}</p>` : ""}${said.draw()}`;
  const isSaid = isFirst && id !== "correct";
  return html`<li class="explanation"><p><b>${said.name ?? id}</b>${isFirst ? "" : `: ${howSure(probability)}`}</p>
    ${said.sentence && !isSaid ? html`<p>${said.sentence}</p>` : ""}${
      said.people && !isSaid ? html`<p><b>People:</b> ${said.people}</p>` : ""
    }
    ${
      isFirst
        ? more
        : html`<details class="more"><summary>${orders ? "Drawing, and what to do" : "Drawing"}</summary>${more}${(
            orders ? listOf(said.do_now) : []
          ).map((sentence) => html`<p>${sentence}</p>`)}</details>`
    }</li>`;
}
