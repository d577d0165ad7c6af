// From what a person entered to the bodies of records. Nothing that was not measured appears in a check.
import { readsLamps, readsVolts, usesMeter } from "./added.js";
import { measuredEntry, textAt } from "./entries.js";
import {
  continuityOf,
  detectorOf,
  earthOf,
  filled,
  furtherSets,
  loadedOf,
  meterOf,
  pressedUpstream,
  rmsOf,
  typed,
  voltsIn,
} from "./further.js";
import { lampsOf } from "./lamps.js";
import { hasTwoLegs, lampPrefix, pairsOf } from "./pairs.js";

/** @import { BodyArrivalCheck, BodyOutletTest, Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { Judgement, NotTested } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "./entries.js" */

/**
 * Makes the check that is judged and recorded.
 * @param {Values} values
 * @param {"pedestal"|"rig"} where
 * @returns {Check}
 */
export function checkOf(values, where) {
  const check = /** @type {Check} */ ({ outlet: values.outlet, supply: values.supply || "utility", where });
  if (typed(values, "breaker_amps")) check.breaker_amps = measuredEntry("breaker_amps", values.breaker_amps);
  const plug = textAt(values, "via");
  if (plug && plug !== values.outlet) check.via = [`${plug}-to-${values.outlet}`];
  if (values.looked === "yes") check.look = /** @type {Check["look"]} */ ([...(values.look ?? [])].sort());
  Object.assign(check, isStopped(values) ? {} : readingsOf(values));
  return check;
}

/** @param {Values} values */
const isStopped = (values) => values.stopped === "yes";

/** @param {Values} values @returns {Record<string, any>} */
function readingsOf(values) {
  const usual = usesMeter(values) ? meterOf(values) : { ...meterOf(values), input: "high-impedance" };
  const meter = { ...usual, ...rmsOf(values) };
  const volts = filled([...Object.entries(voltsOf(values) ?? {}), ...Object.entries(earthOf(values, meter) ?? {})]);
  const loaded = loadedOf(values);
  const more = furtherSets(values, meter);
  const trip = [tripOf(values), pressedUpstream(values)].filter(Boolean);
  return present({
    volts,
    meter: volts || loaded ? meter : null,
    lamps: readsLamps(values) ? lampsOf(values) : null,
    loaded,
    more: more.length ? more : null,
    continuity: continuityOf(values),
    near: detectorOf(values),
    trip: trip.length || hasNoButton(values) ? trip : null,
  });
}

/** @param {Record<string, unknown>} members */
const present = (members) => Object.fromEntries(Object.entries(members).filter(([, value]) => value !== null));

/** @param {Values} values @returns {Record<string, string>|null} */
const voltsOf = (values) => (readsVolts(values) ? voltsIn(values, pairsOf(values.outlet)) : null);

/** A button that was looked for and is not there is another answer than one not pressed. @param {Values} values */
const hasNoButton = (values) => skipped(values, "trip") && values["trip.none"] === "yes";

/** @param {Values} values @returns {Record<string, any>|null} */
function tripOf(values) {
  if (skipped(values, "trip")) return null;
  const names = values["trip.tripped"] === "no" ? ["tripped"] : ["tripped", "face_dead", "reset"];
  const known = names.filter((name) => ["yes", "no"].includes(values[`trip.${name}`] ?? ""));
  if (!known.length) return null;
  return {
    by: "button",
    device: "this",
    ...Object.fromEntries(known.map((name) => [name, values[`trip.${name}`] === "yes"])),
  };
}

/** @param {Values} values @param {string} name */
const skipped = (values, name) => values[`${name}.skipped`] === "yes";

/**
 * Lists the steps that were not tested, by id. A pair that any meter read with the breaker on is tested.
 * @param {Check} check
 * @param {{withLamp: string[], trips: boolean, meterProved: boolean}} how withLamp: the pairs with a lamp; trips:
 *   this outlet has TEST and RESET
 * @returns {NotTested}
 */
export function notTested(check, { withLamp, trips, meterProved }) {
  const sets = [check, ...(check.more ?? []).filter(({ state }) => state !== "breaker-off")];
  /** @param {"volts"|"lamps"} member @param {string[]} pairs */
  const missing = (member, pairs) =>
    pairs
      .filter((pair) => !sets.some((set) => /** @type {Record<string, unknown>|undefined} */ (set[member])?.[pair]))
      .map((pair) => `${member}.${pair}`);
  const left = [
    ...(check.look ? [] : ["look"]),
    ...missing("volts", pairsOf(check.outlet)),
    ...missing("lamps", withLamp),
    ...(trips ? leftOutOfTrip(check) : []),
    ...(check.volts && !meterProved ? ["meter_proved"] : []),
  ];
  return /** @type {NotTested} */ (left);
}

const ANSWERS = /** @type {const} */ (["tripped", "face_dead", "reset"]);

/** What did not trip has nothing to show at its face, nor to reset. @param {Check} check */
function leftOutOfTrip({ trip }) {
  const own = trip?.find(({ device }) => device === "this");
  if (!own) return ["trip"];
  return own.tripped === false ? [] : ANSWERS.filter((answer) => own[answer] === undefined);
}

/** @param {Values} values @returns {string[]} the pairs between which the person's tester has a lamp */
export function lampPairs(values) {
  const pairs = pairsOf(values.outlet);
  const named = pairs.filter((pair) => values[`${lampPrefix(values.outlet)}.${pair}.called`]?.trim());
  return hasTwoLegs(values.outlet) && named.length ? named : pairs;
}

/**
 * Makes the body of an arrival check or an outlet test.
 * @param {Values} values
 * @param {{where: "pedestal"|"rig", trips: boolean, judgement: Judgement}} made
 * @returns {BodyArrivalCheck|BodyOutletTest}
 */
export function checkBody(values, { where, trips, judgement }) {
  const check = checkOf(values, where);
  const meterProved = Boolean(check.volts) && values["ready.meter_proved"] === "yes";
  const body = {
    check,
    ready: {
      dry: values["ready.dry"] === "yes",
      meter_proved: meterProved,
      category: (check.volts && values["ready.category"]) || null,
    },
    not_tested: notTested(check, { withLamp: readsLamps(values) ? lampPairs(values) : [], trips, meterProved }),
    judgement,
  };
  return where === "pedestal" ? { place: placeOf(values), ...body } : body;
}

/** @param {Values} values */
const placeOf = (values) => ({ park: (values["place.park"] ?? "").trim(), site: (values["place.site"] ?? "").trim() });

/**
 * Makes the body of what was seen after plugging in.
 * @param {Values} values
 * @param {{level: string, rulebook: string|undefined}} judgement
 * @returns {Record<string, any>}
 */
export function plugInBody(values, judgement) {
  const skin = skinOf(values);
  const inside = typed(values, "inside") ? measuredEntry("inside", values.inside) : null;
  const isSkinTested = skin && judgement.level !== "not-tested";
  const missing = [...(isSkinTested ? [] : ["skin"]), ...(inside ? [] : ["inside"])];
  return { skin, inside, tingle: values.tingle === "yes", not_tested: missing, judgement };
}

/** @param {Values} values */
const isFloating = ({ supply = "" }) => ["generator", "inverter"].includes(supply);

/** @param {Values} values @returns {Record<string, any>|null} */
export function skinOf(values) {
  if (skipped(values, "skin")) return null;
  if (values["skin.by"] === "detector") {
    return ["yes", "no"].includes(values["skin.detected"] ?? "")
      ? { by: "detector", detected: values["skin.detected"] === "yes" }
      : null;
  }
  if (!typed(values, "skin.volts")) return null;
  const volts = measuredEntry("skin.volts", values["skin.volts"]);
  if (!isFloating(values)) return { by: "meter", volts, earth_proved: values["skin.earth"] === "yes" };
  if (!typed(values, "skin.low")) return { by: "meter", volts };
  return { by: "meter", volts, low_impedance: measuredEntry("skin.low", values["skin.low"]) };
}
