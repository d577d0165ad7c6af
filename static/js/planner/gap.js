// A reading under load held against the plan: as planned, or where to look. What a hot loses more lowers its own leg;
// what the neutral of two legs loses more lowers one and lifts the other.
import { NEUTRAL_SHARE } from "../engine/legs.js";
import { tenth } from "./answer.js";

/** @import { BodyPlan } from "../../../schemas/shapes/record.d.ts" */

/**
 * @typedef {Pick<BodyPlan, "open"|"loop_ohms"|"loop_spread"|"cords"|"cord_ohms"|"planned"|"read"|"second">} PlanFigures
 */
/**
 * @typedef {object} Leg
 * @property {string} name with what follows it; of one leg alone that of the rig
 * @property {NonNullable<BodyPlan["read"]>|null} read
 * @property {number} open volts with nothing on
 * @property {number} amps
 * @property {number} through amps that, through the whole loop, lose what this leg loses
 * @property {number} below by so much it was read below what was planned for these amps [V]
 * @property {number} slack that the plan's own doubt leaves [V]
 */

/** Between two readings the supply moves by so much, and less is the meter's digits [V]: own choice. */
const MOVED_VOLTS = 1;
/** Less current gives no drop that a meter tells [A]: own choice. */
const LEAST_AMPS = 1;
const NO_LOAD = "Below 1 A no drop shows: read it again with a load on, and say its amps.";
const OUTLET_TOO =
  "Read the outlet too, with the same load on: that tells the cord from what is before it. Feel plugs for heat.";
const OTHER_TOO = " Read the other leg too: where that one rose, it is the neutral.";
const OFF_FIRST = "Breaker off, unplug, feel and look there first.";

/** @param {string} text a measured value, such as “118.4 V” */
const number = (text) => Number.parseFloat(text);

/**
 * What the reading says of the way, against what was planned.
 * @param {PlanFigures} plan with its reading
 * @returns {{level: "cannot-tell"|"as-planned"|"less"|"more", says: string}}
 */
export function gapOf(plan) {
  const { legs, cosine } = legsOf(plan);
  const read = legs.filter((leg) => leg.read);
  if (!read.length) return { level: "cannot-tell", says: "Nothing was read at the rig yet." };
  if (legs.every(({ amps }) => amps < LEAST_AMPS)) return { level: "cannot-tell", says: NO_LOAD };
  const words = read.map(standing).join(" ");
  const sunk = read.filter(({ below, slack }) => below > slack);
  const risen = read.filter(({ below, slack }) => below < -slack);
  if (sunk.length && risen.length) return { level: "more", says: `${words} ${neutralSaid(legs, cosine)}` };
  if (sunk.length) {
    const other = read.length < legs.length ? OTHER_TOO : "";
    return { level: "more", says: `${words} ${sunk.map(lost).join("")}${placeOf(sunk, plan)}${other}` };
  }
  if (risen.length) return { level: "less", says: `${words} Did the supply rise meanwhile, or is a cord shorter?` };
  return { level: "as-planned", says: `${words} That is as planned.` };
}

/**
 * A leg loses what its own amps lose in the hot, and what the sum of both loses in the neutral, as far as it is in line
 * with it. Where one leg was not read, its planned amps stand.
 * @param {PlanFigures} plan
 * @returns {{legs: Leg[], cosine: number}} cosine of the angle between the hots
 */
function legsOf(plan) {
  const { second, loop_ohms, loop_spread, cord_ohms } = plan;
  const hots = second ? [plan, second] : [plan];
  const amps = hots.map(({ planned, read }) => number((read ?? planned).amps));
  const cosine = second ? cosineOf(number(plan.open), number(second.open), second.between) : 0;
  const legs = hots.map(({ open, read }, at) => {
    const own = amps[at] ?? 0;
    const through = own + NEUTRAL_SHARE * cosine * (amps[1 - at] ?? 0);
    return {
      name: second ? `Leg ${at ? "Y" : "X"} is` : "The rig has",
      read,
      open: number(open),
      amps: own,
      through,
      below: read ? number(open) - (loop_ohms + cord_ohms) * through - number(read.volts) : 0,
      slack: MOVED_VOLTS + loop_spread * Math.abs(through),
    };
  });
  return { legs, cosine };
}

/** @param {number} x @param {number} y @param {string|null} between */
function cosineOf(x, y, between) {
  const apart = between === null ? x + y : number(between);
  return (x * x + y * y - apart * apart) / (2 * x * y);
}

/** @param {Leg} leg */
const standing = ({ name, below }) => `${name} ${tenth(Math.abs(below))} V ${below > 0 ? "below" : "above"} the plan.`;

/** What is lost more where a hot's own amps lose it. @param {Leg} leg */
const lost = ({ amps, below }) =>
  amps < LEAST_AMPS
    ? ""
    : `That is ${(below / amps).toFixed(2)} Ω more, ${tenth(below * amps)} W somewhere at ${tenth(amps)} A. `;

/** @param {Leg[]} legs @param {number} cosine */
function neutralSaid([x, y], cosine) {
  const [onX, onY] = [x?.amps ?? 0, y?.amps ?? 0];
  const ohms = ((x?.below ?? 0) - (y?.below ?? 0)) / ((onX - onY) * (1 - cosine));
  const heat = ohms * (onX * onX + onY * onY + 2 * cosine * onX * onY);
  const much = ohms > 0 && ohms < Infinity ? ` (${ohms.toFixed(2)} Ω more, ${tenth(heat)} W)` : "";
  return `One sank, the other rose: that is the neutral${much}. Open, it puts too many volts on one leg. ${OFF_FIRST}`;
}

/** @param {Leg[]} sunk @param {PlanFigures} plan */
function placeOf(sunk, { loop_ohms, cords, cord_ohms }) {
  const outlets = sunk.flatMap((leg) => {
    const { outlet = null, volts = "" } = leg.read ?? {};
    return outlet === null ? [] : [{ ...leg, outlet: number(outlet), rig: number(volts) }];
  });
  if (!outlets.length) return OUTLET_TOO;
  const called =
    cords.map(({ awg, feet }) => `the ${awg} AWG cord of ${feet} ft`).join(" or ") || "a cord that is not noted";
  const isBehind = outlets.some(({ outlet, rig, through }) => outlet - rig > cord_ohms * through + MOVED_VOLTS);
  const isBefore = outlets.some(({ outlet, open, through, slack }) => open - outlet > loop_ohms * through + slack);
  const places = [
    ...(isBehind ? [`behind the outlet: ${called}, its plugs, or the inlet`] : []),
    ...(isBefore ? ["before the outlet: the joints of the site, or its breaker"] : []),
  ];
  return places.length ? `It lies ${places.join("; and ")}. ${OFF_FIRST}` : "It is spread over the way.";
}
