// Which source feeds a plan, and what is said of it.
import { html } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { batteryOf, typedOf } from "./state.js";
import { adapterSaid, hasBothLegs, supplyHere, supplyOfBattery, supplyTyped } from "./supply.js";

/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { State } from "./state.js" */
/** @import { LastArrival, Supply } from "./supply.js" */
/** @import { Item } from "./work.js" */

const OLD_MS = 12 * 60 * 60 * 1000;

/**
 * @param {State} state
 * @param {LastArrival|null} here
 * @param {string} plug of the rig
 * @param {Tables} tables
 * @returns {Supply|null} null where a battery is not told
 */
export function suppliedBy({ told }, here, plug, tables) {
  if (told.source === "battery") {
    const battery = batteryOf(told);
    return battery && supplyOfBattery(battery);
  }
  const asked = told.leg || "both";
  if (told.source === "here" && here) {
    const isWhole = hasBothLegs(here.outlet, plug, here.via);
    return supplyHere(here, asked === "both" && !isWhole ? "x" : asked, plug, tables);
  }
  const typed = supplyTyped(typedOf(told), plug, tables);
  const leg = asked === "both" && !typed.second ? "x" : asked;
  return { ...typed, leg: typed.leg && leg, second: leg === "both" ? (typed.second ?? null) : null };
}

/**
 * The mode of the map that a source means, by its name; else the first.
 * @param {string[]} modes
 * @param {string} source
 * @param {LastArrival|null} here
 */
export function modeFor(modes, source, here) {
  const isGenerator = source === "here" && here?.supply === "generator";
  const meant = source === "battery" ? /station|inverter|batter/i : isGenerator ? /generator/i : /shore/i;
  return modes.find((mode) => meant.test(mode)) ?? modes[0] ?? "";
}

/** @param {Supply} supply @param {Record<string, string>} told @param {LastArrival|null} here */
export function sourceMarkup({ said, leg }, told, here) {
  const legs = leg ? [leg === "both" ? "both legs" : `leg ${leg.toUpperCase()} of two`] : [];
  const figures = [...said, ...legs].join("; ");
  if (told.source !== "here" || !here)
    return html`<b>${told.source === "battery" ? "On the battery" : "What if"}:</b> ${figures}.`;
  return html`<b>Here, ${spoken(here.at)}${here.site ? `, ${here.site}` : ""}:</b> ${here.outlet}; ${figures}.`;
}

const FORBIDDEN =
  "No plan: the check of this outlet says “do not use”. Under Supply and cords choose What if for another one.";

/**
 * Why an outlet has no plan: it is not to be used.
 * @param {Record<string, string>} told
 * @param {LastArrival|null} here
 */
export const forbiddenSaid = ({ source }, here) =>
  source === "here" && here?.verdict === "do-not-use" ? FORBIDDEN : "";

/**
 * What a person has to know before the answer.
 * @param {{told: Record<string, string>, here: LastArrival|null, plug: string, rig: Rig|null, fed: Item[],
 *   isBoth?: boolean}} about isBoth: whether both legs are planned
 */
export function noticesMarkup({ told, here, plug, rig, fed, isBoth = false }) {
  const isHere = told.source === "here" && here !== null;
  const outlet = isHere ? here.outlet : (told.outlet ?? "");
  const unknown = isBoth ? fed.filter(({ hung }) => !hung.leg).map(({ name }) => name) : [];
  return html`${isHere ? hereNotices(here) : ""}${
    unknown.length ? html`<p class="notice">Leg not noted on the map, taken as X: ${unknown.join(", ")}.</p>` : ""
  }${
    told.source !== "battery" && adapterSaid(outlet, plug)
      ? html`<p class="notice">${adapterSaid(outlet, plug)}</p>`
      : ""
  }${
    rig && !fed.length
      ? html`<p class="notice">No appliance of ${rig.name} has power here by its map. Draw it on the
        <a href="/rigs/${rig.id}/map">rig map</a>, or add what is plugged in.</p>`
      : ""
  }`;
}

/** @param {LastArrival} here */
function hereNotices({ verdict, at }) {
  const words = [];
  if (verdict === "test-more") words.push("The check of this outlet asks for more tests first.");
  if (Date.now() - Date.parse(at) > OLD_MS)
    words.push("That check is more than twelve hours old: volts change by the hour. Read them again.");
  return words.map((each) => html`<p class="notice">${each}</p>`);
}

/** @param {Rig[]} rigs @param {string} chosen */
export const rigsMarkup = (rigs, chosen) =>
  rigs.length > 1
    ? html`<fieldset class="field choices choices--lines"><legend>Which rig?</legend>
        <div class="choices__options">${rigs.map(
          ({ id, name }) =>
            html`<label class="choice"><input type="radio" name="rig" value="${id}"${
              id === chosen ? html` checked` : ""
            }><span class="choice__label">${name}</span></label>`,
        )}</div></fieldset>`
    : html`<p class="notice">This phone knows no rig, so no map gives its loads. Add what is plugged in, or note the rig
        under <a href="/rigs">Rigs</a>.</p>`;

/** @param {string[]} modes of the map */
export const modesMarkup = (modes) =>
  modes.length > 1
    ? html`<fieldset class="field choices choices--lines"><legend>The rig is in</legend>
        <div class="choices__options">${modes.map(
          (mode) =>
            html`<label class="choice"><input type="radio" name="mode" value="${mode}"><span
              class="choice__label">${mode}</span></label>`,
        )}</div></fieldset>`
    : html``;
