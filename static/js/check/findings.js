// What was found, with its figures, and what the readings under load tell of the wiring.
import { html } from "../lib/html.js";
import { PAIRS } from "../lib/words.js";
import { drawingText } from "./drawing.js";
import { familyOf, outletIn } from "./family.js";

/** @import { Assessed, Finding } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook, Words } from "../../../schemas/shapes/rulebook.d.ts" */

const LEVELS = { stop: "Stop", limit: "Limit", note: "Note" };

/** The part of an outlet's rating that it may carry for long. */
const LASTING = 0.8;

/**
 * @param {Pick<Assessed, "findings"|"supply">} answer
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
export function findingsMarkup({ findings }, rulebook, outlet) {
  if (!findings.length) return "";
  return html`<section class="reasons"><h2>What was found</h2><ul class="findings">
    ${findings.map((finding) => findingMarkup(finding, rulebook, outlet))}
  </ul></section>`;
}

/** @param {Finding} finding @param {Rulebook} rulebook @param {string} outlet */
function findingMarkup(finding, rulebook, outlet) {
  const sentence = rulebook.words.findings[finding.id]?.sentence ?? finding.id;
  return html`<li class="finding" data-level="${finding.level}"><p><b>${LEVELS[finding.level]}:</b>
    ${sentence} ${unnamedText(finding, rulebook, outlet)}</p>${figures(finding, rulebook.words.quantities)}</li>`;
}

/**
 * A wiring without a name is said by what each contact is joined to.
 * @param {Finding} finding
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
function unnamedText({ id, quantity }, rulebook, outlet) {
  const wiring = id === "unnamed-wiring" ? unnamedWiring(quantity, rulebook, outlet) : null;
  const variant = wiring?.variants[0];
  if (!variant) return "";
  const joined = drawingText(variant, familyOf(rulebook, outlet).contacts, rulebook.words);
  return rulebook.words.unnamed.sentence.replace("{contacts}", joined);
}

/**
 * @param {string|null} id
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
export const unnamedWiring = (id, rulebook, outlet) =>
  familyOf(rulebook, outlet).wirings.find((wiring) => wiring.id === id);

/** @param {Finding} finding @param {Words["quantities"]} quantities */
function figures({ quantity, value, uncertainty, limit, source, straddles }, quantities) {
  const pair = PAIRS[quantity ?? ""];
  const { label, unit } = quantities[quantity ?? ""] ?? { label: pair ?? "", unit: pair ? "V" : "" };
  const read =
    typeof value === "number"
      ? `${capital(label)}: ${figure(value, unit)}${uncertainty ? ` ± ${figure(uncertainty, unit)}` : ""} ${unit}. `
      : "";
  const border = typeof limit === "number" ? `The limit is ${figure(limit, unit)} ${unit}. ` : "";
  const across = straddles ? "The reading itself is better than that; the meter’s error reaches over the limit. " : "";
  const text = `${read}${border}${across}${source ? `Source: ${source}` : ""}`.replaceAll(" .", ".").trim();
  return text ? html`<p class="finding__figures">${text}</p>` : "";
}

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @type {Record<string, number>} */
const PARTS = { W: 1, Ω: 100 };

/** No more digits than the figure bears. @param {number} number @param {string} unit */
function figure(number, unit) {
  const parts = PARTS[unit] ?? 10;
  return String(Math.floor(number * parts + 0.5) / parts);
}

/**
 * What the readings under load tell of the wires and joints up to here.
 * @param {Pick<Assessed, "findings"|"supply">} answer
 * @param {Rulebook} rulebook
 * @param {string} outlet
 */
export function supplyMarkup({ supply }, rulebook, outlet) {
  if (!supply) return "";
  const amps = LASTING * (outletIn(rulebook, outlet)?.rating_amps ?? NaN);
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
