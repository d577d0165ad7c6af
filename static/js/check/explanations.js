// What fits the readings: the first explanation in full with its drawing, the others with more behind a fold.
import { html } from "../lib/html.js";
import { howSure } from "../lib/sure.js";
import { drawingFigure } from "./drawing.js";
import { familyOf, listOf, wordsOf } from "./family.js";
import { unnamedWiring } from "./findings.js";

const SHOWN_FROM = 0.01;

/**
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {{outlet: string, where?: "pedestal"|"rig"}} about what to do about one is said for a site's outlet; in a
 *   rig the verdict says it
 */
export function explanationsMarkup(answer, rulebook, { outlet, where }) {
  const shown = answer.faults.filter(({ probability }, i) => i === 0 || probability >= SHOWN_FROM);
  if (!shown.length) return "";
  return html`<section class="reasons"><h2>What fits the readings</h2><ol class="explanations">
    ${shown.map((fault, i) =>
      explanation(fault, withoutComfort(fault.id, answer, meaningOf(fault.id, answer, rulebook, outlet)), {
        isFirst: i === 0,
        where,
      }),
    )}
  </ol></section>`;
}

/**
 * What is said and drawn of an explanation. Where nothing with a name comes first, the unnamed wiring that fits best
 * is meant.
 * @param {string} id
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
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

/** That right wiring harms nobody is said only where nothing else was found that may. */
function withoutComfort(id, { verdict }, said) {
  return id === "correct" && verdict !== "use" ? { ...said, people: "", appliances: "" } : said;
}

function explanation({ id, probability }, said, { isFirst, where }) {
  const more = html`${said.appliances ? html`<p><b>Appliances:</b> ${said.appliances}</p>` : ""}${said.draw()}`;
  return html`<li class="explanation"><p><b>${said.name ?? id}</b>: ${howSure(probability)}</p>
    ${said.sentence ? html`<p>${said.sentence}</p>` : ""}${
      said.people ? html`<p><b>People:</b> ${said.people}</p>` : ""
    }
    ${
      isFirst
        ? more
        : html`<details class="more"><summary>${
            where === "rig" ? "Drawing" : "Drawing, and what to do"
          }</summary>${more}${(where === "rig" ? [] : listOf(said.do_now)).map(
            (sentence) => html`<p>${sentence}</p>`,
          )}</details>`
    }</li>`;
}
