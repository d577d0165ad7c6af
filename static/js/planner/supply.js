// The supply of a plan: what was read at the last arrival check, or what was typed in, or a battery.
import { FOUR_CONTACTS, OUTLET_AMPS } from "../engine/contacts.js";
import { figureOf } from "../engine/plan-circuit.js";

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { BodyArrivalCheck } from "../../../schemas/shapes/record.d.ts" */
/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Battery, SecondHot } from "../engine/plan.js" */

/**
 * @typedef {object} LastArrival what the last arrival check of this phone read
 * @property {string} id of its record
 * @property {string} at when
 * @property {string} site where, in words
 * @property {string} outlet
 * @property {"utility"|"generator"|"inverter"} supply
 * @property {string[]} via adapters, such as 14-50-to-TT-30
 * @property {number|null} breakerAmps
 * @property {Record<string, number>} volts with nothing on, by leg: "x" where there is one [V]
 * @property {number|null} [between] volts between the two hots with nothing on [V]
 * @property {{ohms: number, uncertainty: number}|null} loop what its loaded readings show [ohm]
 * @property {string} verdict
 *
 * @typedef {object} SupplyEntry what was typed in
 * @property {string} outlet
 * @property {"utility"|"generator"|"inverter"} supply
 * @property {number|null} volts
 * @property {number|null} ohms
 * @property {number|null} breakerAmps
 * @property {number|null} [between] volts between the hots
 *
 * @typedef {object} Supply
 * @property {"utility"|"generator"|"inverter"} kind
 * @property {number} volts
 * @property {number} ohms
 * @property {number} leastOhms
 * @property {number} mostOhms
 * @property {number|null} breakerAmps
 * @property {number|null} receptacleAmps
 * @property {string} leg "" where there is one alone; both: both at once
 * @property {SecondHot|null} [second] the other hot, where both are planned
 * @property {string[]} said where each figure is from
 * @property {Battery|null} battery
 */

const USUAL_VOLTS = 120;
/** @type {Record<string, number>} */
const AMPS = OUTLET_AMPS;

/**
 * @param {{id: string, observed_at: string, body: BodyArrivalCheck}} record
 * @param {Assessed["supply"]|undefined} judged what its loaded readings show, as the engine finds it
 * @returns {LastArrival}
 */
export function hereOf({ id, observed_at, body: { place, check, judgement } }, judged) {
  const { outlet, supply = "utility", via = [], breaker_amps, volts = {} } = check;
  /** @param {string|undefined} reading */
  const number = (reading) => (reading ? Number.parseFloat(reading) : null);
  const legs =
    outlet === FOUR_CONTACTS ? { x: number(volts["x-n"]), y: number(volts["y-n"]) } : { x: number(volts["h-n"]) };
  return {
    id,
    at: observed_at,
    site: [place.park, place.site].filter(Boolean).join(", "),
    outlet,
    supply,
    via,
    breakerAmps: number(breaker_amps),
    volts: /** @type {Record<string, number>} */ (
      Object.fromEntries(Object.entries(legs).filter(([, each]) => each !== null))
    ),
    between: outlet === "14-50" ? number(volts["x-y"]) : null,
    loop: judged ? { ohms: judged.ohms, uncertainty: judged.ohms_uncertainty } : null,
    verdict: judgement.verdict,
  };
}

/**
 * The smallest of an outlet, its adapters and the rig's own plug limits all behind it.
 * @param {string} outlet
 * @param {string[]} via
 * @param {string} plug of the rig, or ""
 */
export function plugAmps(outlet, via, plug) {
  const names = [outlet, ...via.flatMap((each) => each.split("-to-")), plug];
  const amps = names.map((name) => AMPS[name]).filter((each) => each !== undefined);
  return amps.length ? Math.min(...amps) : null;
}

/**
 * Says which leg of a 14-50 a smaller plug gets through an adapter.
 * @param {string} outlet where the site's own is
 * @param {string} plug of the rig
 */
export const adapterSaid = (outlet, plug) =>
  outlet === FOUR_CONTACTS && plug && plug !== FOUR_CONTACTS
    ? `An adapter from a 14-50 to a ${plug} uses one leg of the two, whichever its maker joined. ` +
      `The 50 A breaker does not guard what is behind it.`
    : "";

/**
 * Where nothing was read the loop is taken from the breaker.
 * @param {number|null} breakerAmps
 * @param {Tables} tables
 */
export const usualOhms = (breakerAmps, tables) =>
  ((figureOf(tables, "source-drop-percent") / 100) * USUAL_VOLTS) / (breakerAmps ?? 30);

/**
 * @param {LastArrival} here
 * @param {string} leg "x" or "y"
 * @param {string} plug of the rig, or ""
 * @param {Tables} tables
 * @returns {Supply}
 */
export function supplyHere(here, leg, plug, tables) {
  const second = leg === "both" ? secondHere(here) : null;
  const volts = here.volts[leg] ?? here.volts.x;
  const isRead = here.loop !== null;
  const ohms = here.loop?.ohms ?? usualOhms(here.breakerAmps, tables);
  const spread = here.loop?.uncertainty ?? ohms / 2;
  return {
    kind: here.supply,
    volts: volts ?? USUAL_VOLTS,
    ohms,
    leastOhms: Math.max(0, ohms - spread),
    mostOhms: ohms + spread,
    breakerAmps: here.breakerAmps,
    receptacleAmps: plugAmps(here.outlet, here.via, plug),
    leg: here.outlet === FOUR_CONTACTS ? leg : "",
    second,
    said: [
      volts === undefined ? "volts were not read, 120 V is assumed" : `${volts} V with nothing on`,
      ...(second ? [`${second.volts_y} V on leg Y`, betweenSaid(second)] : []),
      isRead
        ? `loop ${fixed(ohms)} ± ${fixed(spread)} Ω, by its load`
        : `loop ${fixed(ohms)} Ω, an estimate (half to one and a half times): no load was read`,
      here.breakerAmps === null ? "the breaker’s number is not noted" : `breaker ${here.breakerAmps} A`,
    ],
    battery: null,
  };
}

/** @param {LastArrival} here @returns {SecondHot} */
const secondHere = ({ volts, between }) => ({ volts_y: volts.y ?? volts.x ?? USUAL_VOLTS, volts_xy: between ?? null });

/** @param {SecondHot} second */
const betweenSaid = ({ volts_xy: between }) =>
  between ? `${between} V between the hots` : "240 V between the hots assumed";

/**
 * Whether both hots reach the rig: only through its own 14-50.
 * @param {string} outlet
 * @param {string} plug of the rig, or ""
 * @param {string[]} via
 */
export const hasBothLegs = (outlet, plug, via = []) =>
  outlet === FOUR_CONTACTS && !via.length && (plug === FOUR_CONTACTS || plug === "");

/** @param {SupplyEntry} typed @param {string} plug @param {Tables} tables @returns {Supply} */
export function supplyTyped({ outlet, supply, volts, ohms, breakerAmps, between = null }, plug, tables) {
  const breaker = breakerAmps ?? AMPS[outlet] ?? null;
  const loop = ohms ?? usualOhms(breaker, tables);
  const spread = ohms === null ? loop / 2 : 0;
  return {
    kind: supply,
    volts: volts ?? USUAL_VOLTS,
    ohms: loop,
    leastOhms: loop - spread,
    mostOhms: loop + spread,
    breakerAmps: breaker,
    receptacleAmps: plugAmps(outlet, [], plug),
    leg: outlet === FOUR_CONTACTS ? "x" : "",
    second: hasBothLegs(outlet, plug) ? { volts_y: volts ?? USUAL_VOLTS, volts_xy: between } : null,
    said: [
      volts === null ? "120 V assumed" : `${volts} V typed in`,
      ohms === null
        ? `loop ${fixed(loop)} Ω, an estimate (half to one and a half times)`
        : `loop ${fixed(loop)} Ω typed in`,
      breakerAmps === null && breaker !== null
        ? `breaker ${breaker} A, as the outlet’s rating`
        : `breaker ${breaker ?? "not noted"} A`,
    ],
    battery: null,
  };
}

/** @param {Battery} battery @returns {Supply} */
export const supplyOfBattery = (battery) => ({
  kind: "inverter",
  volts: USUAL_VOLTS,
  ohms: 0,
  leastOhms: 0,
  mostOhms: 0,
  breakerAmps: null,
  receptacleAmps: null,
  leg: "",
  said: [`inverter of ${battery.inverter_watts} W`, `${battery.watt_hours} Wh when full`],
  battery,
});

/** @param {number} ohms */
const fixed = (ohms) => ohms.toFixed(2);
