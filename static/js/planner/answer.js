// What a plan comes to: whether it all runs together, what to switch off first, and how it stands to its limits.
import { figureOf } from "../engine/plan-circuit.js";
import { html } from "../lib/html.js";
import { barMarkup } from "./bars.js";

/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Answer, Item } from "./work.js" */
/** @import { Supply } from "./supply.js" */

/** @type {Record<string, {word: string, shape: string}>} */
const STANDS = {
  fits: { word: "Fits together", shape: "use" },
  limited: { word: "Fits, with limits", shape: "use-limited" },
  over: { word: "Too much", shape: "do-not-use" },
  none: { word: "Nothing on", shape: "none" },
};
/** @type {Record<string, string>} */
const LIMITS = {
  breaker: "the breaker of the supply",
  receptacle: "the outlet, or the smallest plug on the way",
  cord: "the thinnest cord",
  limit: "the rig’s main breaker",
  inverter: "the inverter",
};
const MUCH = ["over-limit", "branch-over-limit", "cannot-deliver", "rig-volts-too-low"];
// What the bars and the sentence say already.
const SAID = ["over-limit"];

/** @param {Answer} answer @returns {"fits"|"limited"|"over"|"none"} */
export function standingOf({ now, on }) {
  if (!on.length) return "none";
  const stops = now.findings.filter(({ level }) => level === "stop");
  if (stops.some(({ id }) => MUCH.includes(id)) || !now.fits || now.loads.some(({ runs }) => !runs)) return "over";
  return stops.length || now.findings.some(({ level }) => level === "limit") ? "limited" : "fits";
}

/**
 * The answer at arm's length.
 * @param {Answer} answer
 * @param {Item[]} unknown whose watts are not noted
 */
export function verdictMarkup(answer, unknown) {
  const standing = standingOf(answer);
  const { word, shape } = /** @type {{word: string, shape: string}} */ (STANDS[standing]);
  return html`<div class="verdict" data-plan="${standing}">
    <svg class="verdict__shape" aria-hidden="true"><use href="/static/shapes.svg#${shape}"></use></svg>
    <h2 class="verdict__word">${word}</h2>
    <p class="verdict__sentence">${sentenceOf(answer)}</p>
    ${unknown.length ? html`<p class="verdict__why">Not counted, watts not noted: ${namesOf(unknown)}.</p>` : ""}
  </div>`;
}

/** The answer in one line, for beside the switches. @param {Answer} answer */
export function lineOf(answer) {
  const { volts_at_rig: volts, amps, limit_amps: limit, runtime_hours: hours } = answer.now;
  const { word } = /** @type {{word: string}} */ (STANDS[standingOf(answer)]);
  if (volts === null || amps === null) return word;
  const of = limit === null ? "" : ` of ${tenth(limit)}`;
  const time = hours === null ? "" : ` · ${tenth(hours)} h`;
  return `${word} · ${tenth(volts)} V · ${tenth(amps)}${of} A${time}`;
}

/** @param {Answer} answer */
export function sentenceOf({ on, off, sets }) {
  const [best] = sets;
  if (!on.length) return best ? `Together: ${namesOf(best)}.` : "Switch a load on to see what it does.";
  if (!off.length) return `Together: ${namesOf(on)}.`;
  const left = on.filter((item) => !off.includes(item));
  return left.length
    ? `Switch off first: ${namesOf(off)}. Then together: ${namesOf(left)}.`
    : `None of these can run here, not one alone: ${namesOf(off)}.`;
}

/** @param {Item[]} items */
export const namesOf = (items) => items.map(({ name }) => name).join(", ");

/**
 * @param {Answer} answer
 * @param {Tables} tables
 * @param {Supply} supply
 */
export function barsMarkup(answer, tables, { battery }) {
  const { now } = answer;
  if (now.volts_at_rig === null || now.amps === null)
    return html`<p class="notice">No volts at which these loads could run: the supply gives out before that.</p>`;
  if (now.legs) return legBars(now.legs, answer, tables);
  return html`${voltsBar(now.volts_at_rig, answer, tables)}${ampsBar(now.amps, answer, tables)}${
    battery ? timeMarkup(answer, battery) : ""
  }`;
}

/**
 * Each leg with the other one on, and what is left of its volts with that one off.
 * @param {NonNullable<Answer["now"]["legs"]>} legs
 * @param {Answer} answer
 * @param {Tables} tables
 */
function legBars(legs, { now, ranges }, tables) {
  const marks = ["low-stop", "rig-low-limit", "high-stop"].map((id) => figureOf(tables, id));
  const [stop, , high] = marks;
  const limit = now.limit_amps;
  return html`${Object.entries(legs).map(([leg, { volts_at_rig: volts, volts_alone: alone, amps }], at) => {
    const spread = ranges?.[at];
    const shown = { from: 96, to: 136, marks: marks.map((each) => ({ at: each, says: "" })) };
    const lowest = Math.min(alone ?? 0, volts ?? 0);
    const isOver = lowest < Number(stop) || Number(volts) > Number(high);
    const name = `Leg ${leg.toUpperCase()}`;
    const most = Math.max(limit ?? 0, amps ?? 0, 1) * 1.15;
    const left = alone === null ? "it gives out" : `${tenth(alone)} V`;
    return html`${barMarkup({
      ...shown,
      name: `${name}, volts`,
      value: `${tenth(volts ?? 0)} V`,
      at: volts ?? 0,
      isOver,
      ...(spread ? { spread } : {}),
      says: `With the other leg off: ${left}. Marks: ${marks.join(", ")} V.`,
    })}${barMarkup({
      name: `${name}, amps`,
      value: limit === null ? `${tenth(amps ?? 0)} A` : `${tenth(amps ?? 0)} of ${tenth(limit)} A`,
      at: amps ?? 0,
      from: 0,
      to: most,
      marks: limit === null ? [] : [{ at: limit, says: "" }],
      isOver: limit !== null && (amps ?? 0) > limit,
      says: "",
    })}`;
  })}<p>The neutral carries ${tenth(now.neutral_amps ?? 0)} A.</p>`;
}

/** @param {number} volts @param {Answer} answer @param {Tables} tables */
function voltsBar(volts, { ranges, now }, tables) {
  const spread = ranges?.[0];
  const [stop, low, high] = ["low-stop", "rig-low-limit", "high-stop"].map((id) => figureOf(tables, id));
  const most = now.volts_at_rig === null ? 0 : (now.drop_percent ?? 0);
  const range =
    spread && spread[1] - spread[0] >= 0.05 ? `, between ${tenth(spread[0])} and ${tenth(spread[1])} V` : "";
  return barMarkup({
    name: "Volts at the rig",
    value: `${tenth(volts)} V`,
    at: volts,
    ...(spread ? { spread } : {}),
    from: 96,
    to: 136,
    marks: [stop, low, high].map((at) => ({ at: Number(at), says: "" })),
    isOver: volts < Number(stop) || volts > Number(high),
    says:
      `${tenth(most)} % lost on the way${range}. Marks: ${stop}, ${low}, ${high} V; ` +
      "poor below the second, harm beyond the first and last.",
  });
}

/** @param {number} amps @param {Answer} answer @param {Tables} tables */
function ampsBar(amps, { now, asked }, tables) {
  const limit = now.limit_amps;
  const over = now.findings.find(({ id }) => id === "over-limit");
  const most = Math.max(limit ?? 0, amps, 1) * 1.15;
  return barMarkup({
    name: "Amps",
    value: limit === null ? `${tenth(amps)} A` : `${tenth(amps)} of ${tenth(limit)} A`,
    at: amps,
    from: 0,
    to: most,
    marks: limit === null ? [] : [{ at: limit, says: "" }],
    isOver: Boolean(over),
    says: `${bindingSaid(now.limited_by, limit, asked.cords ?? [], tables)}${over ? ` ${over.says}` : ""}`,
  });
}

/**
 * Which limit binds, with its clause.
 * @param {string} what
 * @param {number|null} amps
 * @param {{awg: number}[]} cords
 * @param {Tables} tables
 */
export function bindingSaid(what, amps, cords, tables) {
  if (amps === null) return "No rating is known: nothing here limits the amps.";
  const thinnest = Math.max(...cords.map(({ awg }) => awg));
  /** @type {Record<string, string|undefined>} */
  const sources = {
    breaker: tables["over-limit"]?.source,
    receptacle: "NEC 210.21(B)",
    cord: tables[`cord-two-${thinnest}`]?.source,
    limit: tables["over-limit"]?.source,
    inverter: "its own rating",
  };
  return `What binds: ${LIMITS[what] ?? what}, ${tenth(amps)} A (${sources[what] ?? "its rating"}).`;
}

/** @param {Answer} answer @param {NonNullable<Supply["battery"]>} battery */
function timeMarkup({ now, asked }, battery) {
  const hours = now.runtime_hours;
  if (hours === null) return html`<p class="notice">No time: these loads do not fit on the inverter.</p>`;
  const least = hoursAt(asked.loads, battery, 0.85, 1.5);
  const most = hoursAt(asked.loads, battery, 0.95, 0.5);
  return barMarkup({
    name: "Time on the battery",
    value: `${tenth(hours)} h`,
    at: hours,
    spread: [least, most],
    from: 0,
    to: Math.max(24, most),
    marks: [],
    isOver: false,
    says:
      `With all of it on all the time. Between ${tenth(least)} and ${tenth(most)} h if the inverter gives 85 to 95 % ` +
      "and takes half to one and a half times its own draw.",
  });
}

/**
 * @param {{watts?: number|null}[]} loads
 * @param {NonNullable<Supply["battery"]>} battery
 * @param {number} efficiency
 * @param {number} idle times its own draw
 */
function hoursAt(loads, { watt_hours, usable, idle_watts }, efficiency, idle) {
  const watts = loads.reduce((sum, load) => sum + (load.watts ?? 0), 0);
  const taken = watts / efficiency + idle_watts * idle;
  return taken > 0 ? (watt_hours * usable) / taken : 0;
}

/** What else speaks against it, each with its clause. @param {Answer} answer */
export function findingsMarkup({ now, on }) {
  const found = on.length ? now.findings.filter(({ id }) => !SAID.includes(id)) : [];
  return html`${found.map(
    ({ level, says, do: what, source }) =>
      html`<li class="plan-finding" data-level-of="${level}"><b>${LEVELS[level] ?? ""}</b> ${says} ${what}
        <span class="hint">${source}</span></li>`,
  )}`;
}

/** @type {Record<string, string>} */
const LEVELS = { stop: "Stop.", limit: "Limit.", note: "Note." };

/** Which sets run together; a tap switches to one. @param {Answer} answer */
export function setsMarkup({ sets, all }) {
  if (!sets.length) return html`<p>No load runs here, not one alone.</p>`;
  const names = all.loads.map(({ name }) => name);
  return html`<ol class="plan-sets">${sets.map((set, i) => {
    const kept = set.map(({ name }) => name);
    const off = names.filter((name) => !kept.includes(name));
    const without = off.length ? html`<br><small>off: ${off.join(", ")}</small>` : "";
    return html`<li><button type="button" class="button button--quiet button--wide plan-set" data-set="${i}"
      ><span>${kept.join(", ")}${without}</span></button></li>`;
  })}</ol>`;
}

/** @param {number} value */
export const tenth = (value) => String(Math.floor(value * 10 + 0.5) / 10);
