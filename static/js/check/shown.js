// What was entered, beside the verdict: each entry leads to where it is changed, and from there straight back.
import { html } from "../lib/html.js";
import { PAIRS, placeName } from "../lib/words.js";

/** @import { BodyArrivalCheck, BodyOutletTest, Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { Words } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {{label: string, value: string, name: string}} Entry name: of the field that holds it */

/**
 * @param {BodyArrivalCheck|BodyOutletTest} body
 * @param {Words["look"]} look
 * @param {(name: string) => string|null} stepWith the screen with a field, where there is one
 */
export function shownMarkup(body, look, stepWith) {
  return html`<ul class="shown" aria-label="What was entered: tap to change it">${entriesOf(body, look).map(
    ({ label, value, name }) => {
      const step = stepWith(name);
      const text = html`<span class="shown__label">${label}</span> <b class="shown__value">${value}</b>`;
      return html`<li>${
        step
          ? html`<button type="button" class="shown__entry" data-goto="${step}"
              data-says="verdict.mending=yes">${text}<span class="visually-hidden">: change it</span></button>`
          : html`<span class="shown__entry shown__entry--still">${text}</span>`
      }</li>`;
    },
  )}</ul>`;
}

/**
 * @param {BodyArrivalCheck|BodyOutletTest} body
 * @param {Words["look"]} look
 * @returns {Entry[]}
 */
function entriesOf(body, look) {
  const { check } = body;
  const place = "place" in body ? [{ label: "Where", value: placeName(body.place), name: "place.site" }] : [];
  const breaker = check.breaker_amps ? `, breaker ${check.breaker_amps}` : "";
  return [
    ...place,
    { label: "Outlet", value: `${check.outlet}${breaker}`, name: "outlet" },
    { label: "Look", value: lookText(check, look), name: "look" },
    ...read(check.volts, "", "volts."),
    ...read(check.lamps, "Lamp ", "lamps."),
    ...read(check.loaded?.volts, "Under load, ", "loaded.volts."),
    ...(check.more ?? []).flatMap((set, i) => [
      ...read(set.volts, "Again, ", `more.${i}.volts.`),
      ...read(set.lamps, "Again, lamp ", `more.${i}.lamps.`),
    ]),
  ];
}

/** @param {Check} check @param {Words["look"]} words */
function lookText({ look }, words) {
  if (!look) return "not looked";
  return look.map((seen) => words[seen]?.label ?? seen).join(", ") || "nothing seen";
}

/** @param {object|undefined} members @param {string} before @param {string} at @returns {Entry[]} */
const read = (members, before, at) =>
  Object.entries(members ?? {}).map(([pair, value]) => ({
    label: `${before}${PAIRS[pair] ?? pair}`,
    value,
    name: `${at}${pair}`,
  }));
