// A plan kept as a record, and what was read of it later.
import { record } from "../check/log-record.js";
import { madeBy } from "../check/saving.js";
import { loopOhms } from "../engine/plan-worked.js";
import { fill } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso, spoken } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { keep } from "../outbox/queue.js";
import { gapOf } from "./gap.js";
import { numberOf, RANGES } from "./state.js";

/** @import { BodyPlan } from "../../../schemas/shapes/record.d.ts" */
/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */
/** @import { Supply } from "./supply.js" */
/** @import { Answer } from "./work.js" */

/**
 * @typedef {object} PlanContext
 * @property {Record<string, string>} told changed: what was read is taken out once it is kept
 * @property {string|null} [account]
 * @property {Rig|null} rig
 * @property {Answer|null} answer
 * @property {Supply|null} supply
 * @property {Tables|null} tables
 */

const NO_RIG = "Not kept: a plan is kept with its rig, and this phone knows none. Note the rig under Rigs.";
const BOTH_LEGS =
  "Not kept: a plan is kept for one leg, beside which a reading can be held. Choose X or Y under Supply and cords.";
const NOTHING_ON = "Not kept: there is no answer to keep. Switch a load on.";
const NO_VOLTS = "Type the volts that you read at the rig.";
const LATER = "Read at the rig later, beside what was planned.";

/** Keeps plans and readings from the page's form, and shows the one kept last. */
export class Keeping {
  #form;
  #about;
  #learn;

  /** @param {HTMLFormElement} form @param {PlanContext} about @param {() => Promise<void>} learn asks the phone anew */
  constructor(form, about, learn) {
    this.#form = form;
    this.#about = about;
    this.#learn = learn;
  }

  get #last() {
    return this.#about.rig?.newest("plan")[0] ?? null;
  }

  async shown() {
    const plan = this.#last;
    partOf(this.#form, "[data-part=kept-plan]").hidden = !plan;
    if (plan) show(partOf(this.#form, "[data-part=kept]"), keptMarkup(plan));
  }

  async plan() {
    const { answer, supply, tables, told, rig, account } = this.#about;
    const body = answer && supply && tables && planBody(answer, supply, told.source === "here", tables);
    if (supply?.second) return this.#say(BOTH_LEGS);
    if (!rig || !body) return this.#say(rig ? NOTHING_ON : NO_RIG);
    return this.#keepBy(() => keepPlan(rig.id, body, account));
  }

  async reading() {
    const { told, account } = this.#about;
    const plan = this.#last;
    if (!plan) return;
    const read = readingOf(told, plan.body);
    if (!read) return this.#say(NO_VOLTS);
    await this.#keepBy(() => keepReading(plan, read, account));
    for (const name of ["read.volts", "read.amps", "read.outlet"]) told[name] = "";
    fill(this.#form, told);
  }

  /** @param {() => Promise<string>} work @returns {Promise<void>} */
  async #keepBy(work) {
    const place = this.#place();
    try {
      const id = await work();
      place?.follow(id);
      await this.#learn();
      place?.scrollIntoView({ block: "center", behavior: "instant" });
    } catch (error) {
      console.error(error);
      place?.fail(/** @type {Error} */ (error), () => this.#keepBy(work));
    }
  }

  /** @param {string} why nothing was kept */
  #say(why) {
    const place = this.#place();
    place?.wait(why);
    place?.scrollIntoView({ block: "center", behavior: "instant" });
  }

  #place() {
    const place = this.#form.querySelector("fl-saved");
    if (place) place.hidden = false;
    return place;
  }
}

/**
 * @param {Answer} answer
 * @param {Supply} supply
 * @param {boolean} isRead whether its figures are those of an arrival check
 * @param {Tables} tables
 * @returns {BodyPlan|null} null where there is nothing to keep
 */
export function planBody(answer, supply, isRead, tables) {
  const { now, asked, on, volts } = answer;
  if (!on.length || now.volts_at_rig === null || now.amps === null || !volts) return null;
  const cords = (asked.cords ?? []).map(({ awg, feet }) => ({ awg, feet }));
  const kept = now.loads.map(({ name }) => name);
  return {
    supply: supply.kind,
    open: measured(supply.volts, "V"),
    is_read: isRead,
    loop_ohms: hundredth(supply.ohms),
    loop_spread: hundredth(supply.mostOhms - supply.ohms),
    cords: /** @type {BodyPlan["cords"]} */ (cords),
    cord_ohms: hundredth(loopOhms(asked, tables) - supply.ohms),
    loads: on.map(({ name, watts }) => ({ name, watts: watts ?? 0 })),
    off: answer.all.loads.map(({ name }) => name).filter((name) => !kept.includes(name)),
    planned: {
      volts: measured(now.volts_at_rig, "V"),
      least: measured(volts[0], "V"),
      most: measured(volts[1], "V"),
      amps: measured(now.amps, "A"),
      fits: now.fits,
    },
    read: null,
    note: "",
  };
}

/** @param {number} value @param {string} unit */
const measured = (value, unit) => `${Math.round(10 * value) / 10} ${unit}`;

/** @param {number} ohms */
const hundredth = (ohms) => Math.round(1000 * ohms) / 1000;

/**
 * Keeps a plan of a rig on this phone.
 * @param {string} rig
 * @param {BodyPlan} body
 * @param {string|null|undefined} account who typed it
 */
export async function keepPlan(rig, body, account) {
  const id = uuid7();
  await keep(await made(rig, { id, body }), account);
  return id;
}

/**
 * Keeps beside a plan what was read later.
 * @param {Chain<"plan">} plan
 * @param {{volts: number, amps: number, outlet: number|null}} read
 * @param {string|null|undefined} account
 */
export async function keepReading({ record: { id: corrects, rig }, body }, { volts, amps, outlet }, account) {
  const read = { volts: `${volts} V`, amps: `${amps} A`, outlet: outlet === null ? null : `${outlet} V` };
  const id = uuid7();
  await keep(await made(String(rig), { id, corrects, reason: LATER, body: { ...body, read } }), account);
  return id;
}

/** @param {string} rig @param {{id: string, body: BodyPlan, corrects?: string, reason?: string}} members */
const made = async (rig, members) =>
  record({ kind: "plan", rig, subject: null, observed_at: localIso(new Date()), made_by: await madeBy(), ...members });

/**
 * What was typed of a reading; where no amps were, those that were planned stand.
 * @param {Record<string, string>} told
 * @param {BodyPlan} plan
 */
export function readingOf(told, plan) {
  /** @param {string} name */
  const of = (name) => numberOf(told[`read.${name}`], RANGES[`read.${name}`]);
  const volts = of("volts");
  return volts === null
    ? null
    : { volts, amps: of("amps") ?? Number.parseFloat(plan.planned.amps), outlet: of("outlet") };
}

/** The plan that was kept last, and how its reading stands to it. @param {Chain<"plan">} plan */
export function keptMarkup({ record: { observed_at }, body }) {
  const { planned, loads, read } = body;
  const { level, says } = gapOf(body);
  return html`<h2>The plan kept last</h2>
    <p>${spoken(observed_at)}: ${loads.map(({ name }) => name).join(", ")}. Planned at the rig: ${planned.volts}
      (${planned.least} to ${planned.most}) at ${planned.amps}.</p>
    ${
      read
        ? html`<p class="${level === "more" ? "notice" : "hint"}">Read: ${read.volts} at ${read.amps}. ${says}</p>`
        : html`<p>With all of it on, read the volts at an outlet of the rig.</p>`
    }`;
}
