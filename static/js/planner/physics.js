// What stands behind a plan's figures, in words: how a motor starts, and where watts are lost.

import { startAt } from "../engine/plan.js";
import { figureOf } from "../engine/plan-circuit.js";
import { html } from "../lib/html.js";
import { tenth } from "./answer.js";

/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Answer } from "./work.js" */

const FEET_PER_METRE = 3.28084;
const JOINT_OHMS = 0.01;
/** Less is not told [V]: own choice, a digit of most meters. */
const LEAST_LOST = 0.1;

/**
 * Heat in a cord, hot and neutral together [W/m].
 * @param {number} amps
 * @param {number} awg
 * @param {Tables} tables
 */
export const wattsPerMetre = (amps, awg, tables) =>
  (amps * amps * 2 * figureOf(tables, `ohms-stranded-${awg}`) * FEET_PER_METRE) / 1000;

/** Share of a motor's torque that is left; NEMA MG 1-12.44.2. @param {number} volts @param {number} rated */
export const torqueShare = (volts, rated) => (volts / rated) ** 2;

/** How each motor that is on starts while the others run. @param {Answer} answer @param {Tables} tables */
export function startsMarkup({ asked }, tables) {
  const motors = asked.loads.flatMap((load, at) => (load.kind === "motor" ? [{ load, at }] : []));
  if (!motors.length) return html`<p>No motor is on, or none is noted as one: nothing here dips when it starts.</p>`;
  const least = figureOf(tables, "start-least-volts");
  return html`<ul>${motors.map(({ load, at }) => {
    /** @param {number} multiple */
    const dip = (multiple) => startAt(asked, at, multiple, tables);
    const marked = load.start_multiple ?? null;
    const times = marked ?? figureOf(tables, "start-multiple");
    return html`<li>${startSaid({
      name: load.name,
      times,
      volts: dip(times),
      rated: load.rated_volts ?? 120,
      least,
      range: marked
        ? null
        : [dip(figureOf(tables, "start-multiple-high")), dip(figureOf(tables, "start-multiple-low"))],
    })}</li>`;
  })}</ul>
    <p class="hint">Torque falls with the square of the volts (NEMA MG 1-12.44.2). What is not marked is taken at six
    times its current (NEC 440.41(A)); handbooks print 4 to 7.</p>`;
}

/**
 * @param {{name: string, times: number, volts: number|null, rated: number, least: number,
 *   range: (number|null)[]|null}} start
 */
function startSaid({ name, times, volts, rated, least, range }) {
  if (volts === null)
    return `${name}: at ${tenth(times)} times its current the supply gives out. It will not start here.`;
  const [low, high] = range ?? [];
  const lowest = low === null || low === undefined ? "nothing" : tenth(low);
  const between = range ? ` (at 4 to 7 times between ${lowest} and ${tenth(high ?? volts)} V)` : "";
  const enough = volts >= least ? "" : ` Below ${least} V it may hum and not turn: switch the others off first.`;
  return `${name}: ${tenth(volts)} V for a moment${between}, ${Math.round(
    100 * torqueShare(volts, rated),
  )} % of its torque.${enough}`;
}

/** Where the watts go on the way. @param {Answer} answer @param {Tables} tables */
export function lossesMarkup({ now, asked }, tables) {
  const { amps } = now;
  if (amps === null) return html`<p>No current could be worked out.</p>`;
  const cords = asked.cords ?? [];
  return html`<ul>${cords.map(({ awg, feet }) => {
    const per = wattsPerMetre(amps, awg, tables);
    const all = (per * feet) / FEET_PER_METRE;
    return html`<li>${awg} AWG, ${feet} ft: ${tenth(per)} W in each metre, ${tenth(all)} W in all.</li>`;
  })}
    <li>A bad joint of ${JOINT_OHMS} Ω more, a plug or a screw: ${tenth(amps * amps * JOINT_OHMS)} W in that
      spot.</li></ul>
    ${
      cords.length
        ? ""
        : html`<p class="hint">No cord is noted: its loss is not counted. Note gauge and length under Supply and
            cords.</p>`
    }
    ${inRigMarkup(now)}
    <p><b>Unroll a reel fully.</b> Rolled up it cannot give that heat away. Feel plugs after half an hour.</p>`;
}

/** What the rig's own wires take, where the map notes gauge and length. @param {Answer["now"]} now */
function inRigMarkup({ loads, volts_at_rig: panel, legs }) {
  const lost = legs ? [] : loads.filter(({ volts }) => panel !== null && volts && panel - volts >= LEAST_LOST);
  if (!lost.length) return "";
  return html`<p>In the rig’s own wires, by the map:</p><ul>${lost.map(
    ({ name, volts }) => html`<li>${name}: ${tenth(volts ?? 0)} V reach it, ${tenth((panel ?? 0) - (volts ?? 0))} V
      less than at the panel.</li>`,
  )}</ul>`;
}
