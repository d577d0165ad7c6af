// What the same pedestal or outlet showed before. It stands beside a verdict, which is made without it.
import { isApart } from "../engine/apart.js";
import { FOUR_CONTACTS } from "../engine/contacts.js";
import { readCheck } from "../engine/intake.js";
import { openRulebook } from "../engine/rulebook.js";
import { liveSets } from "../engine/sets.js";
import { supplyOf } from "../engine/supply.js";
import { html } from "../lib/html.js";
import { checkInput } from "../lib/measured.js";
import { dayOf, spokenDay } from "../lib/times.js";
import { VERDICTS } from "../lib/words.js";
import { chains } from "../outbox/chains.js";

/** @import { BodyArrivalCheck, BodyOutletTest, Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { RecordArrivalCheck, RecordOutletTest } from "../../../schemas/shapes/record.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Reading } from "../engine/slope.js" */
/** @import { Row } from "../outbox/rows.js" */

/** @typedef {"loop"|"neutral"|"volts"} Quantity */
/** @typedef {Partial<Record<Quantity, Reading>>} ReadingsByQuantity */
/** @typedef {BodyArrivalCheck|BodyOutletTest} Body */

/**
 * @typedef {object} CheckNow
 * @property {"arrival-check"|"outlet-test"} kind
 * @property {string|null} subject the outlet of a rig
 * @property {Body} body
 * @property {string} at when it was observed
 * @property {string|null} id of any record of it, where it is kept already
 */

/** A meter that is noted as exact is still off by something; own choice, in the unit of the reading. */
const LEAST_ERROR = 0.001;
/** Readings are held against each other, whenever they were. */
const ANY_DAY = 0;
const MOST_READ = 40;

/** @type {Record<Quantity, {name: string, unit: string, digits: number}>} */
const NAMES = {
  loop: { name: "Loop here", unit: "ohm", digits: 2 },
  neutral: { name: "Neutral rise per ampere", unit: "ohm", digits: 2 },
  volts: { name: "Volts here", unit: "V", digits: 1 },
};
/** @type {Quantity[]} */
const QUANTITIES = ["loop", "neutral", "volts"];

/**
 * Earlier checks of the same pedestal or outlet, newest first; of each chain the record that counts.
 * @param {Row[]} rows in order
 * @param {CheckNow} now
 * @returns {Row[]}
 */
export function earlierOf(rows, { kind, subject, body, at, id }) {
  const all = chains(rows);
  const own = new Set(all.find((chain) => chain.some((row) => row.id === subject))?.map((row) => row.id) ?? [subject]);
  const moment = Date.parse(at);
  return all
    .filter((chain) => !chain.some((row) => row.id === id))
    .flatMap((chain) => chain.slice(-1))
    .filter(({ record }) => record.kind === kind && Date.parse(record.observed_at) < moment)
    .filter(({ record }) => (kind === "outlet-test" ? own.has(record.subject) : isSamePlace(record, body)))
    .sort((a, b) => Date.parse(b.record.observed_at) - Date.parse(a.record.observed_at));
}

/** A place without a park and a site is none that was met before. @param {Row["record"]} record @param {Body} body */
function isSamePlace(record, body) {
  const then = /** @type {RecordArrivalCheck} */ (record).body;
  const here = /** @type {BodyArrivalCheck} */ (body);
  const place = placeKey(here.place);
  return place !== "" && placeKey(then.place) === place && then.check.outlet === here.check.outlet;
}

/** @param {{park?: string, site?: string}|undefined} place */
export function placeKey(place) {
  const [park, site] = [place?.park, place?.site].map((name) => (name ?? "").trim().toLowerCase().replace(/\s+/g, " "));
  return park && site ? `${park}\n${site}` : "";
}

/**
 * What a check as it is recorded showed, with what each may be off by; nothing where it cannot be read.
 * @param {Check} recorded
 * @param {Rulebook} raw
 * @returns {ReadingsByQuantity}
 */
export function readOf(recorded, raw) {
  try {
    const rulebook = openRulebook(raw);
    const check = readCheck(checkInput(recorded), rulebook);
    const pair = check.outlet === FOUR_CONTACTS ? "x-n" : "h-n";
    const set = liveSets(check).find(({ volts }) => Object.hasOwn(volts, pair));
    const shown = set?.volts[pair];
    /** @type {ReadingsByQuantity} */
    const found = {};
    if (set && shown !== undefined) {
      const error = (shown * set.meter.accuracyPercent) / 100 + set.meter.accuracyVolts;
      found.volts = { day: ANY_DAY, value: shown, uncertainty: error || LEAST_ERROR };
    }
    const supply = supplyOf(check, rulebook);
    if (supply?.across !== pair) return found;
    const uncertainty = supply.ohms_uncertainty || LEAST_ERROR;
    found.loop = { day: ANY_DAY, value: supply.ohms, uncertainty };
    if (supply.neutral_ohms !== null) found.neutral = { day: ANY_DAY, value: supply.neutral_ohms, uncertainty };
    return found;
  } catch (error) {
    console.warn(error); // what was once kept may be what is not read today
    return {};
  }
}

/**
 * What stands beside a verdict: what is pointed out at once, and the rest.
 * @param {Row[]} rows
 * @param {CheckNow} now
 * @param {Rulebook} rulebook
 */
export function beforeMarkup(rows, now, rulebook) {
  const earlier = earlierOf(rows, now).slice(0, MOST_READ);
  const [last] = earlier;
  if (!last) return { pointed: html``, rest: html`` };
  const today = readOf(now.body.check, rulebook);
  const lines = QUANTITIES.flatMap((quantity) => lineOf(quantity, today, earlier, rulebook) ?? []);
  const { record } = /** @type {Row & {record: RecordArrivalCheck|RecordOutletTest}} */ (last);
  const word = VERDICTS[record.body.judgement.verdict] ?? "no verdict that is known here";
  const day = spokenDay(dayOf(record.observed_at));
  const apart = lines.filter((line) => line.apart);
  const alike = lines.filter((line) => !line.apart);
  return {
    pointed: html`${apart.map(({ text }) => html`<p class="caution" data-apart>${text}</p>`)}`,
    rest: html`<section class="reasons" data-before><h2>Here before</h2>
      <p><a class="button button--quiet" href="/checks/${record.id}">${day}: ${word}</a></p>
      ${alike.map(({ text }) => html`<p>${text}</p>`)}
      <p>The verdict is made from this check’s readings alone.</p></section>`,
  };
}

/**
 * @param {Quantity} quantity
 * @param {ReadingsByQuantity} today
 * @param {Row[]} earlier
 * @param {Rulebook} rulebook
 * @returns {{text: string, apart: boolean}|null}
 */
function lineOf(quantity, today, earlier, rulebook) {
  const now = today[quantity];
  if (!now) return null;
  for (const { record } of earlier) {
    const { check } = /** @type {RecordArrivalCheck|RecordOutletTest} */ (record).body;
    const then = readOf(check, rulebook)[quantity];
    if (then) return told(quantity, now, then, spokenDay(dayOf(record.observed_at)));
  }
  return null;
}

/** @param {Quantity} quantity @param {Reading} now @param {Reading} then @param {string} day */
function told(quantity, now, then, day) {
  const { name, unit, digits } = NAMES[quantity];
  /** @param {Reading} reading */
  const amount = ({ value, uncertainty }) => `${value.toFixed(digits)} ± ${uncertainty.toFixed(digits)} ${unit}`;
  const apart = isApart(now, then);
  const said = `${name}: ${amount(then)} on ${day}, in this check ${amount(now)}.`;
  if (!apart) return { apart, text: `${said} No further apart than both may be off by.` };
  const way = now.value > then.value ? "higher" : "lower";
  return { apart, text: `${said} That is ${way} by more than both readings may be off by. ${ADVICE[quantity]}` };
}

/** @type {Record<Quantity, string>} */
const ADVICE = {
  loop: "Read it again with the same load; if it stays, another joint, cord or feed is in the way than before.",
  neutral: "Read it again with the same load; if it stays, the neutral’s way is another than before.",
  volts: "Volts move with the hour and the neighbours; read them again later.",
};
