// What was found, with its figures, and what the readings under load tell of the wiring.
import { html } from "../lib/html.js";
import { PAIRS } from "../lib/words.js";
import { drawingText } from "./drawing.js";
import { familyOf } from "./family.js";

const LEVELS = { stop: "Stop", limit: "Limit", note: "Note" };

/** The part of an outlet's rating that it may carry for long. */
const LASTING = 0.8;

/**
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {string} outlet
 */
export function findingsMarkup({ findings }, rulebook, outlet) {
  if (!findings.length) return "";
  return html`<section class="reasons"><h2>What was found</h2><ul class="findings">
    ${findings.map((finding) => findingMarkup(finding, rulebook, outlet))}
  </ul></section>`;
}

function findingMarkup(finding, rulebook, outlet) {
  const sentence = rulebook.words.findings[finding.id]?.sentence ?? finding.id;
  return html`<li class="finding" data-level="${finding.level}"><p><b>${LEVELS[finding.level]}:</b>
    ${sentence} ${unnamedText(finding, rulebook, outlet)}</p>${figures(finding, rulebook.words.quantities)}</li>`;
}

/** A wiring without a name is said by what each contact is joined to. */
function unnamedText({ id, quantity }, rulebook, outlet) {
  const wiring = id === "unnamed-wiring" ? unnamedWiring(quantity, rulebook, outlet) : null;
  return wiring
    ? rulebook.words.unnamed.sentence.replace(
        "{contacts}",
        drawingText(wiring.variants[0], familyOf(rulebook, outlet).contacts, rulebook.words),
      )
    : "";
}

/**
 * @param {string} id
 * @param {Record<string, any>} rulebook
 * @param {string} outlet
 * @returns {Record<string, any>|undefined}
 */
export const unnamedWiring = (id, rulebook, outlet) =>
  familyOf(rulebook, outlet).wirings.find((wiring) => wiring.id === id);

function figures({ quantity, value, uncertainty, limit, source, straddles }, quantities) {
  const { label, unit } = quantities[quantity] ?? { label: PAIRS[quantity] ?? "", unit: quantity in PAIRS ? "V" : "" };
  const read =
    typeof value === "number"
      ? `${capital(label)}: ${figure(value, unit)}${uncertainty ? ` ± ${figure(uncertainty, unit)}` : ""} ${unit}. `
      : "";
  const border = typeof limit === "number" ? `The limit is ${figure(limit, unit)} ${unit}. ` : "";
  const across = straddles ? "The reading itself is better than that; the meter’s error reaches over the limit. " : "";
  const text = `${read}${border}${across}${source ? `Source: ${source}` : ""}`.replaceAll(" .", ".").trim();
  return text ? html`<p class="finding__figures">${text}</p>` : "";
}

const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** No more digits than the figure bears. */
function figure(number, unit) {
  const parts = { W: 1, Ω: 100 }[unit] ?? 10;
  return String(Math.floor(number * parts + 0.5) / parts);
}

/**
 * What the readings under load tell of the wires and joints up to here.
 * @param {Record<string, any>} answer
 * @param {Record<string, any>} rulebook
 * @param {string} outlet
 */
export function supplyMarkup({ supply }, rulebook, outlet) {
  if (!supply) return "";
  const amps = LASTING * rulebook.outlets[outlet].rating_amps;
  return html`<section class="reasons supply"><h2>The wiring up to here</h2>
    <dl class="readings">
      <div><dt>There and back, ${PAIRS[supply.across]}</dt><dd>${figure(supply.ohms, "Ω")} Ω</dd></div>
      <div><dt>If the meter’s error stayed the same</dt><dd>${span(supply.ohms, supply.ohms_uncertainty)}</dd></div>
      ${
        supply.ohms_bound === null
          ? ""
          : html`<div><dt>At the very worst</dt><dd>${span(supply.ohms, supply.ohms_bound)}</dd></div>`
      }
      ${
        supply.hot_ohms === null
          ? ""
          : html`<div><dt>${
              supply.across === "x-y" ? "Of it the legs" : "Of it the hot"
            }</dt><dd>${figure(supply.hot_ohms, "Ω")} Ω</dd></div>`
      }
      ${
        supply.neutral_ohms === null
          ? ""
          : html`<div><dt>Of it the neutral</dt><dd>${figure(supply.neutral_ohms, "Ω")} Ω</dd></div>`
      }
    </dl>
    <p>At ${figure(amps, "A")} A, 80 % of the rating, ${figure(supply.ohms * amps, "V")} V of the
      ${figure(supply.volts, "V")} V would be lost on the way.</p>
  </section>`;
}

/** @param {number} ohms @param {number} uncertainty */
const span = (ohms, uncertainty) =>
  `${figure(Math.max(0, ohms - uncertainty), "Ω")} to ${figure(ohms + uncertainty, "Ω")} Ω`;
