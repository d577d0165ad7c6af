// What was read under load on two legs, held against the plan. What the neutral loses more lowers one leg and lifts the
// other; what a hot loses more lowers its own.
import { otherHot } from "../engine/plan.js";
import { figureOf } from "../engine/plan-circuit.js";
import { tenth } from "./answer.js";
import { LEAST_AMPS, MOVED_VOLTS } from "./gap.js";

/** @import { BodyPlan } from "../../../schemas/shapes/record.d.ts" */
/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Gap } from "./gap.js" */

/** @typedef {NonNullable<BodyPlan["second"]>} Second */
/** @typedef {NonNullable<BodyPlan["read"]>} Read */
/**
 * @typedef {object} LegGap
 * @property {string} name
 * @property {Read|null} read
 * @property {number} open volts with nothing on
 * @property {number} below by so much it was read below what was planned for the amps of the reading [V]
 * @property {number} slack that the plan's own doubt leaves [V]
 * @property {number} weight amps that, through the whole loop, lose what this leg loses
 */

const NOT_READ = { level: /** @type {const} */ ("cannot-tell"), says: "Nothing was read at the rig yet." };
const NO_LOAD = "Below 1 A on both legs no drop shows: read them again with loads on, and say their amps.";
const OFF_FIRST = "Breaker off, unplug, feel and look there first.";

/** @param {string} text a measured value, such as “118.4 V” */
const number = (text) => Number.parseFloat(text);

/**
 * What the readings say of the way, against what was planned.
 * @param {BodyPlan} plan
 * @param {Second} second
 * @param {Tables} tables
 * @returns {Gap}
 */
export function gapOfLegs(plan, second, tables) {
  if (!plan.read && !second.read) return NOT_READ;
  const { amps, legs, cosine } = legsOf(plan, second, tables);
  if (Math.max(...amps) < LEAST_AMPS) return { level: "cannot-tell", says: NO_LOAD };
  const read = legs.filter((leg) => leg.read);
  const words = read.map(({ name, below }) => `Leg ${name} is ${standing(below)}.`).join(" ");
  const sunk = read.filter(({ below, slack }) => below > slack);
  const risen = read.filter(({ below, slack }) => below < -slack);
  if (sunk.length && risen.length)
    return { level: "more", says: `${words} One sank and the other rose: ${neutralSaid(legs, amps, cosine)}` };
  if (sunk.length) return { level: "more", says: `${words} ${sunkSaid(sunk, read, plan)}` };
  if (risen.length) return { level: "less", says: `${words} Did the supply rise meanwhile, or is a cord shorter?` };
  return { level: "as-planned", says: `${words} That is as planned.` };
}

/**
 * A leg loses what its own amps lose in the hot, and what the neutral's share of the loop does with the sum of both.
 * Told from the planned volts on, so that only the change of the amps since is reckoned to the first order.
 * @param {BodyPlan} plan
 * @param {Second} second
 * @param {Tables} tables
 */
function legsOf(plan, second, tables) {
  const { volts: _, cosine } = otherHot(
    number(plan.open),
    { volts_y: number(second.open), volts_xy: second.between === null ? null : number(second.between) },
    tables,
  );
  const share = figureOf(tables, "neutral-share") * cosine;
  const planned = [number(plan.planned.amps), number(second.planned.amps)];
  const amps = [plan, second].map(({ read }, at) => (read ? number(read.amps) : (planned[at] ?? 0)));
  /** @param {number[]} of @param {number} at */
  const weight = (of, at) => (of[at] ?? 0) + share * (of[1 - at] ?? 0);
  const legs = [plan, second].map(({ open, planned: { volts }, read }, at) => {
    const more = (plan.loop_ohms + plan.cord_ohms) * (weight(amps, at) - weight(planned, at));
    return {
      name: at ? "Y" : "X",
      read,
      open: number(open),
      below: read ? number(volts) - more - number(read.volts) : 0,
      slack: MOVED_VOLTS + plan.loop_spread * Math.abs(weight(amps, at)),
      weight: weight(amps, at),
    };
  });
  return { amps, legs, cosine };
}

/** @param {number} below */
const standing = (below) =>
  Math.abs(below) < 0.05 ? "as planned" : `${tenth(Math.abs(below))} V ${below > 0 ? "below" : "above"} the plan`;

/**
 * @param {LegGap[]} legs
 * @param {number[]} amps
 * @param {number} cosine
 */
function neutralSaid([x, y], [onX = 0, onY = 0], cosine) {
  const carried = Math.sqrt(onX * onX + onY * onY + 2 * cosine * onX * onY);
  const ohms = ((x?.below ?? 0) - (y?.below ?? 0)) / ((onX - onY) * (1 - cosine));
  const heat = ohms * carried * carried;
  const much = Number.isFinite(heat) && ohms > 0 ? ` (${ohms.toFixed(2)} Ω more, ${tenth(heat)} W)` : "";
  return `that points to the neutral${much}, its joints and plugs. Open, it puts too many volts on one leg. ${OFF_FIRST}`;
}

/** @param {LegGap[]} sunk @param {LegGap[]} read @param {BodyPlan} plan */
function sunkSaid(sunk, read, plan) {
  const names = sunk.map(({ name }) => name).join(" and ");
  const places = [...new Set(sunk.flatMap((leg) => placesOf(leg, plan)))];
  const place = places.length ? `It is lost ${places.join("; and ")}.` : "Read the outlet too, with the same loads on.";
  const other = read.length > 1 ? "" : " Read the other leg as well: where that one rose, it is the neutral.";
  return `More is lost on the way of ${names}. ${place}${other} ${OFF_FIRST}`;
}

/** @param {LegGap} leg @param {BodyPlan} plan */
function placesOf({ read, open, slack, weight }, { loop_ohms, cord_ohms }) {
  if (!read?.outlet) return [];
  const outlet = number(read.outlet);
  return [
    ...(outlet - number(read.volts) > cord_ohms * weight + MOVED_VOLTS
      ? ["behind the outlet: cord, plugs, inlet"]
      : []),
    ...(open - outlet > loop_ohms * weight + slack ? ["before the outlet: the joints of the site, its breaker"] : []),
  ];
}
