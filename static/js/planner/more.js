// The battery over an evening, and which cord would do: as small charts, and the same as sentences.
import { charge } from "../engine/charge.js";
import { cordReach } from "../engine/cords.js";
import { otherHot } from "../engine/plan.js";
import { figureOf, loadOf } from "../engine/plan-circuit.js";
import { html } from "../lib/html.js";
import { tenth } from "./answer.js";
import { LOAD } from "./ranges.js";
import { numberOf, RANGES } from "./state.js";

/** @import { Charge, Run } from "../engine/charge.js" */
/** @import { Reach } from "../engine/cords.js" */
/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Battery } from "../engine/plan.js" */
/** @import { Supply } from "./supply.js" */
/** @import { Answer, Item } from "./work.js" */

const WIDTH = 300;
const HEIGHT = 110;
const NO_CORD = "No cord does: the supply itself leaves less, or no gauge carries so much. Switch something off.";

/** @param {Item} item @param {boolean} isAllOnInverter @returns {Run[]} none where its hours are not told */
function runOf({ watts, told }, isAllOnInverter) {
  const hours = numberOf(told.hours, LOAD.hours);
  if (hours === null || watts === null) return [];
  return [{ watts, hours, is_direct: told.direct === "yes" && !isAllOnInverter }];
}

/** @param {Answer} answer @param {Battery} battery */
export function batteryMarkup({ on, now }, battery) {
  const planned = on.filter(({ told }) => told.hours);
  const never = on.filter(({ watts }) => (watts ?? 0) > battery.inverter_watts);
  const found = charge(
    battery,
    planned.flatMap((item) => runOf(item, false)),
  );
  const without = planned.filter(({ told }) => told.direct === "yes");
  const through = charge(
    battery,
    planned.flatMap((item) => runOf(item, true)),
  );
  const most = battery.watt_hours * battery.usable;
  return html`${never.map(
    ({ name, watts }) =>
      html`<p class="notice">${name} will never run on it: ${watts} W, and the inverter gives ${
        battery.inverter_watts
      } W.</p>`,
  )}${
    planned.length
      ? html`<h3>What is left of ${tenth(most)} Wh</h3>${chartMarkup(found, most)}${sentences(found, most)}`
      : html`<p>Note the hours of a load under Change: then its evening stands here.</p>`
  }${
    without.length
      ? html`<p>${endSaid(found, most, "With")} ${without.map(({ name }) => name).join(", ")} straight from 12 V.
          ${endSaid(through, most, "All of it through the inverter:")}</p>`
      : ""
  }${besideMarkup(on, battery)}${
    now.runtime_hours === null
      ? ""
      : html`<p class="hint">All of it on all the time: ${tenth(now.runtime_hours)} h.</p>`
  }`;
}

/** The same load from 12 V and through the inverter, each alone. @param {Item[]} on @param {Battery} battery */
function besideMarkup(on, battery) {
  const direct = on.filter(({ told }) => told.direct === "yes");
  const usable = battery.watt_hours * battery.usable;
  return html`${direct.map(({ name, watts }) => {
    const own = watts ?? 0;
    const through = own / battery.efficiency + battery.idle_watts;
    return html`<p>${name} alone: ${tenth(usable / own)} h straight from 12 V at ${own} W, ${tenth(
      usable / through,
    )} h through the inverter at ${tenth(through)} W.</p>`;
  })}`;
}

/** @param {Charge} found @param {number} most @param {string} how */
const endSaid = ({ points, empty_at }, most, how) =>
  empty_at === null
    ? `${how} ${Math.round((100 * (points.at(-1)?.[1] ?? 0)) / most)} % is left at the end.`
    : `${how} empty after ${tenth(empty_at)} h.`;

/** @param {Charge} found @param {number} most */
function chartMarkup({ points }, most) {
  const end = Math.max(1, points.at(-1)?.[0] ?? 1);
  const line = points.map(
    ([hour, left]) => `${Math.round((WIDTH * hour) / end)},${5 + Math.round((HEIGHT - 10) * (1 - left / most))}`,
  );
  return html`<svg class="plan-chart" viewBox="0 0 ${WIDTH} ${HEIGHT}" aria-hidden="true">
    <rect class="bar-of__ground" x="0" y="5" width="${WIDTH}" height="${HEIGHT - 10}"></rect>
    <polyline class="plan-chart__line" points="${line.join(" ")}"></polyline></svg>
    <p class="plan-chart__ends"><span>0 h</span> <span>${tenth(end)} h</span></p>`;
}

/** @param {Charge} found @param {number} most */
function sentences({ points, empty_at }, most) {
  return html`<ul>${points.map(([hour, left]) =>
    left === 0 && empty_at !== null
      ? html`<li><b>After ${tenth(hour)} h nothing usable is left.</b></li>`
      : html`<li>After ${tenth(hour)} h: ${tenth(left)} Wh, ${Math.round((100 * left) / most)} %.</li>`,
  )}</ul>`;
}

/** @param {Battery} battery @param {Record<string, string>} told @param {Tables} tables */
export function rechargeMarkup({ watt_hours, usable }, told, tables) {
  const watts = numberOf(told["battery.panel_watts"], RANGES["battery.panel_watts"]);
  if (watts === null) return html``;
  const charged = figureOf(tables, "charge-share");
  const hours = (watt_hours * usable) / (watts * charged);
  const most = hours / figureOf(tables, "panel-share-low");
  return html`<p>From empty to full: ${tenth(hours)} h from a charger that gives its ${watts} W all the time; from a
    panel of ${watts} W up to ${tenth(most)} h of sun.</p>
    <p class="hint">85 % of it ends in the battery, a panel gives half of its label or more: own estimates.</p>`;
}

/**
 * @param {Answer} answer
 * @param {Supply} supply
 * @param {Record<string, string>} told
 * @param {Tables} tables
 */
export function cordsMarkup({ asked, on }, { volts, second }, told, tables) {
  const least = numberOf(told.least_volts, RANGES.least_volts) ?? figureOf(tables, "rig-low-limit");
  const other = second ? otherHot(volts, second, tables) : null;
  const isThree = other && other.cosine > -1;
  const loads = asked.loads.map((load) => loadOf(load, tables));
  const found = cordReach(loads, { volts, other, ohms: asked.source_ohms ?? 0, least_volts: least }, tables);
  if (!on.length || !found.length) return html`<p>Switch on what is to run at its end.</p>`;
  const usable = found.filter(({ carries, feet }) => carries && feet > 0);
  const longest = Math.max(...usable.map(({ feet }) => feet), 1);
  const [thinnest] = usable;
  const guard = Math.min(asked.breaker_amps ?? Infinity, asked.limit_amps ?? Infinity);
  const isBare =
    thinnest && guard < Infinity && guard > figureOf(tables, `cord-${isThree ? "three" : "two"}-${thinnest.awg}`);
  const each = second ? "on each leg at its end, the other one empty" : "at its end";
  return html`<p>One cord from the outlet to the rig, for what is on now and ${least} V ${each}:</p>
    ${thinnest ? "" : html`<p class="notice">${NO_CORD}</p>`}
    <svg class="plan-chart" viewBox="0 0 ${WIDTH} ${found.length * 16}" aria-hidden="true">${found.map(
      ({ feet, carries }, i) =>
        html`<rect class="${carries ? "bar-of__value" : "bar-of__ground"}" x="0" y="${i * 16 + 2}" width="${Math.round(
          (WIDTH * Math.min(feet, longest)) / longest,
        )}" height="12"></rect>`,
    )}</svg>
    <ul>${found.map((one) => html`<li>${one.awg} AWG: ${reachSaid(one, second)}.</li>`)}</ul>
    ${thinnest ? html`<p><b>Thinnest that does: ${thinnest.awg} AWG, ${reachSaid(thinnest, second)}.</b></p>` : ""}
    ${isBare ? html`<p class="notice">A breaker of ${guard} A does not guard so thin a cord.</p>` : ""}
    <p class="hint">NEC Chapter 9 Table 8 (stranded copper at 75 °C), NEC Table 400.5(A)(1), column ${
      isThree ? "A: on 208 V the neutral carries as much as a hot" : "B"
    }.</p>`;
}

/** @param {Reach} one @param {unknown} isOfTwo */
function reachSaid({ feet, carries, leg }, isOfTwo) {
  if (!carries) return "does not carry these amps";
  if (feet <= 0) return "not even a short one";
  return `up to ${Math.floor(feet)} ft${isOfTwo ? `, by leg ${leg.toUpperCase()}` : ""}`;
}
