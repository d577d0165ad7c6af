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
import { numberOf, RANGES, READ } from "./state.js";
import { legOf } from "./work.js";

/** @import { BodyPlan } from "../../../schemas/shapes/record.d.ts" */
/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */
/** @import { Supply } from "./supply.js" */
/** @import { Answer } from "./work.js" */

/** @typedef {{x: BodyPlan["read"], y: BodyPlan["read"]}} Reads of one leg alone as x */
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
    for (const name of READ) told[name] = "";
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
  const { now, asked, on, ranges } = answer;
  const hots = now.legs ? [now.legs.x, now.legs.y] : [now];
  if (!on.length || !ranges) return null;
  const [planned, ofY] = hots.map(({ volts_at_rig: volts, amps }, at) => {
    const [least, most] = ranges[at] ?? [0, 0];
    return {
      ...{ volts: measured(volts ?? 0, "V"), least: measured(least, "V"), most: measured(most, "V") },
      amps: measured(amps ?? 0, "A"),
    };
  });
  const { volts_y = 0, volts_xy = null } = supply.second ?? {};
  const second = ofY && {
    open: measured(volts_y, "V"),
    between: volts_xy ? measured(volts_xy, "V") : null,
    planned: { ...ofY, neutral: measured(now.neutral_amps ?? 0, "A") },
    read: null,
  };
  const kept = now.loads.map(({ name }) => name);
  const ohms = asked.source_ohms ?? 0;
  return {
    supply: supply.kind,
    open: measured(supply.volts, "V"),
    is_read: isRead,
    loop_ohms: hundredth(ohms),
    loop_spread: hundredth(supply.mostOhms - supply.ohms),
    cords: /** @type {BodyPlan["cords"]} */ ((asked.cords ?? []).map(({ awg, feet }) => ({ awg, feet }))),
    cord_ohms: hundredth(loopOhms(asked, tables) - ohms),
    loads: on.map((item) => ({ name: item.name, watts: item.watts ?? 0, ...(second ? { leg: legOf(item) } : {}) })),
    off: answer.all.loads.map(({ name }) => name).filter((name) => !kept.includes(name)),
    planned: { .../** @type {NonNullable<typeof planned>} */ (planned), fits: now.fits },
    read: null,
    ...(second ? { second } : {}),
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
 * @param {Reads} reads
 * @param {string|null|undefined} account
 */
export async function keepReading({ record: { id: corrects, rig }, body }, { x, y }, account) {
  const second = body.second ? { second: { ...body.second, read: y } } : {};
  const id = uuid7();
  const told = { ...body, read: x, ...second };
  await keep(await made(String(rig), { id, corrects, reason: LATER, body: told }), account);
  return id;
}

/** @param {string} rig @param {{id: string, body: BodyPlan, corrects?: string, reason?: string}} members */
const made = async (rig, members) =>
  record({ kind: "plan", rig, subject: null, observed_at: localIso(new Date()), made_by: await madeBy(), ...members });

/**
 * What was typed of a reading, by leg; where no amps were, those that were planned stand.
 * @param {Record<string, string>} told
 * @param {BodyPlan} plan
 * @returns {Reads|null} null where no volts were typed
 */
export function readingOf(told, { planned, second }) {
  const x = readOf(told, "read", planned.amps);
  const y = second ? readOf(told, "read.y", second.planned.amps) : null;
  return x || y ? { x, y } : null;
}

/**
 * @param {Record<string, string>} told
 * @param {string} at where the names of its fields begin
 * @param {string} planned amps
 * @returns {BodyPlan["read"]}
 */
function readOf(told, at, planned) {
  /** @param {string} name */
  const of = (name) => numberOf(told[`${at}.${name}`], RANGES[`${at}.${name}`]);
  const [volts, amps, outlet] = [of("volts"), of("amps"), of("outlet")];
  if (volts === null) return null;
  return {
    volts: `${volts} V`,
    amps: amps === null ? planned : `${amps} A`,
    outlet: outlet === null ? null : `${outlet} V`,
  };
}

/** The plan that was kept last, and how its reading stands to it. @param {Chain<"plan">} plan */
export function keptMarkup({ record: { observed_at }, body }) {
  const { planned, loads, read, second } = body;
  const legs = second
    ? [
        { on: " on leg X", planned, read },
        { on: " on leg Y", planned: second.planned, read: second.read },
      ]
    : [{ on: "", planned, read }];
  const were = legs.flatMap((leg) => (leg.read ? [`${leg.read.volts} at ${leg.read.amps}${leg.on}`] : []));
  const { level, says } = gapOf(body);
  return html`<h2>The plan kept last</h2>
    <p>${spoken(observed_at)}: ${loads.map(({ name }) => name).join(", ")}. Planned at the rig${legs
      .map(({ on, planned: { volts, least, most, amps } }) => `${on || ":"} ${volts} (${least} to ${most}) at ${amps}`)
      .join(",")}.</p>
    ${
      were.length
        ? html`<p class="${level === "more" ? "notice" : "hint"}">Read: ${were.join(", ")}. ${says}</p>`
        : html`<p>With all of it on, read the volts at an outlet of the rig${second ? ", one of each leg" : ""}.</p>`
    }`;
}
