// A reading under load held against the plan: as planned, or where to look.
import { tenth } from "./answer.js";

/** @import { BodyPlan } from "../../../schemas/shapes/record.d.ts" */

/** Between two readings the supply moves by so much, and less is the meter's digits [V]: own choice. */
export const MOVED_VOLTS = 1;
/** Less current gives no drop that a meter tells [A]: own choice. */
export const LEAST_AMPS = 1;
const OUTLET_TOO =
  "Read the outlet too, with the same load on: that tells the cord from what is before it. Feel plugs for heat.";

/** @typedef {{level: "cannot-tell"|"as-planned"|"less"|"more", says: string}} Gap */

/** @param {string} text a measured value, such as “118.4 V” */
const number = (text) => Number.parseFloat(text);

/**
 * What the reading says of the way, against what was planned.
 * @param {BodyPlan} plan with its reading
 * @returns {Gap}
 */
export function gapOf({ open, loop_ohms, loop_spread, cords, cord_ohms, read }) {
  if (!read) return { level: "cannot-tell", says: "Nothing was read at the rig yet." };
  const amps = number(read.amps);
  if (amps < LEAST_AMPS)
    return { level: "cannot-tell", says: "Below 1 A no drop shows: read it again with a load on, and say its amps." };
  const slack = MOVED_VOLTS / amps;
  const whole = (number(open) - number(read.volts)) / amps;
  const planned = loop_ohms + cord_ohms;
  const words = `The way has ${ohms(whole)} Ω, planned were ${ohms(planned)} Ω.`;
  if (whole < planned - loop_spread - slack)
    return { level: "less", says: `${words} Less than planned: did the supply rise meanwhile, or is a cord shorter?` };
  if (whole <= planned + loop_spread + slack) return { level: "as-planned", says: `${words} That is as planned.` };
  const heat = tenth(amps * amps * (whole - planned));
  const more = `${words} That is ${ohms(whole - planned)} Ω more, ${heat} W somewhere on the way at ${tenth(amps)} A.`;
  return { level: "more", says: `${more} ${placeOf({ loop_ohms, loop_spread, cords, cord_ohms }, read, open, amps)}` };
}

/**
 * @param {Pick<BodyPlan, "loop_ohms"|"loop_spread"|"cords"|"cord_ohms">} planned
 * @param {NonNullable<BodyPlan["read"]>} read
 * @param {string} open
 * @param {number} amps
 */
function placeOf({ loop_ohms, loop_spread, cords, cord_ohms }, read, open, amps) {
  if (!read.outlet) return OUTLET_TOO;
  const slack = MOVED_VOLTS / amps;
  const before = (number(open) - number(read.outlet)) / amps;
  const behind = (number(read.outlet) - number(read.volts)) / amps;
  const called =
    cords.map(({ awg, feet }) => `the ${awg} AWG cord of ${feet} ft`).join(" or ") || "a cord that is not noted";
  const places = [
    ...(behind > cord_ohms + slack ? [`behind the outlet: ${called}, its plugs, or the inlet`] : []),
    ...(before > loop_ohms + loop_spread + slack ? ["before the outlet: the joints of the site, or its breaker"] : []),
  ];
  return places.length
    ? `It lies ${places.join("; and ")}. Breaker off, unplug, feel and look there first.`
    : "It is spread over the way.";
}

/** @param {number} value */
const ohms = (value) => value.toFixed(2);
