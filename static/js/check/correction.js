// From a kept check to the form of its correction, and back.
import { measuredEntry } from "./entries.js";
import { pairsOf } from "./pairs.js";
import { correctedCheck, typedOf } from "./readings.js";
import { notTested } from "./record.js";

/** @typedef {import("./entries.js").Values} Values */

/**
 * Gives what a person would have typed for the body of a check.
 * @param {Record<string, any>} body
 * @returns {Values}
 */
export function entryOf({ place, check }) {
  return {
    "place.park": place?.park ?? "",
    "place.site": place?.site ?? "",
    outlet: check.outlet,
    supply: check.supply ?? "utility",
    breaker_amps: (check.breaker_amps ?? "").split(" ")[0],
    looked: check.look ? ["yes"] : [],
    look: check.look ?? [],
    ...typedOf(check),
  };
}

/**
 * Gives the body with what was typed in place of its entries; it is not judged yet.
 * @param {Record<string, any>} body as kept
 * @param {Values} typed
 * @returns {Record<string, any>}
 */
export function correctedBody(body, typed) {
  const { breaker_amps: _, look: __, ...kept } = correctedCheck(body.check, typed);
  const isLooked = typed.looked?.includes("yes") || typed.look?.length > 0;
  const check = {
    ...kept,
    outlet: typed.outlet || kept.outlet,
    supply: typed.supply,
    ...(typed.breaker_amps.trim() && { breaker_amps: measuredEntry("breaker_amps", typed.breaker_amps) }),
    ...(isLooked && { look: [...(typed.look ?? [])].sort() }),
  };
  return {
    ...body,
    ...(body.place && { place: { park: typed["place.park"].trim(), site: typed["place.site"].trim() } }),
    check,
    ready: readyOf(body.ready, check),
    not_tested: notTested(check, asked(body, check)),
  };
}

/** Without volts nothing is said of the meter. */
const readyOf = (ready, { volts }) => (volts ? ready : { ...ready, meter_proved: false, category: null });

/** A step counts as left out where the check asked for it. */
function asked(body, check) {
  const wasLeftOut = (step) => body.not_tested.includes(step);
  const hasLamp = (pair) => Boolean(body.check.lamps?.[pair] || check.lamps?.[pair]) || wasLeftOut(`lamps.${pair}`);
  return {
    withLamp: pairsOf(check.outlet).filter(hasLamp),
    trips: Boolean(body.check.trip) || wasLeftOut("trip"),
    meterProved: body.ready.meter_proved,
  };
}
