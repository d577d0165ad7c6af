// From what a person entered to the bodies of records. Nothing that was not measured appears in a check.
import { measuredEntry } from "./entries.js";

/** @typedef {import("./entries.js").Values} Values */

export const PAIRS = ["h-n", "h-g", "n-g"];

/**
 * Makes the check that is judged and recorded.
 * @param {Values} values
 * @param {"pedestal"|"rig"} where
 * @returns {Record<string, any>}
 */
export function checkOf(values, where) {
  const check = { outlet: values.outlet, supply: values.supply || "utility", where };
  if (typed(values, "breaker_amps")) check.breaker_amps = measuredEntry("breaker_amps", values.breaker_amps);
  if (values.looked === "yes") check.look = [...values.look].sort();
  Object.assign(check, isStopped(values) ? {} : readingsOf(values));
  return check;
}

const isStopped = (values) => values.stopped === "yes";

/** @param {Values} values @returns {Record<string, any>} */
function readingsOf(values) {
  const volts = voltsOf(values);
  const lamps = lampsOf(values);
  const trip = tripOf(values);
  return {
    ...(volts && { volts, meter: meterOf(values) }),
    ...(lamps && { lamps }),
    ...(trip && { trip: [trip] }),
  };
}

/** @param {Values} values @returns {Record<string, string>|null} */
function voltsOf(values) {
  if (values.by === "lamps") return null;
  return filled(PAIRS.filter((pair) => typed(values, `volts.${pair}`)).map((pair) => [pair, measuredEntry(`volts.${pair}`, values[`volts.${pair}`])]));
}

/** @param {Values} values @returns {Record<string, string>|null} */
function lampsOf(values) {
  if (values.by === "meter") return null;
  return filled(PAIRS.map((pair) => [pair, values[`lamps.${pair}`]]).filter(([, lamp]) => ["lit", "dim", "dark"].includes(lamp)));
}

/** @param {Values} values @returns {Record<string, string>} */
export function meterOf(values) {
  return {
    input: values["meter.input"] || "high-impedance",
    accuracy_percent: measuredEntry("meter.accuracy_percent", values["meter.accuracy_percent"] || "1.0"),
    accuracy_volts: measuredEntry("meter.accuracy_volts", values["meter.accuracy_volts"] || "0.3"),
  };
}

/** @param {Values} values @returns {Record<string, any>|null} */
function tripOf(values) {
  if (skipped(values, "trip")) return null;
  const names = values["trip.tripped"] === "no" ? ["tripped"] : ["tripped", "face_dead", "reset"];
  const known = names.filter((name) => ["yes", "no"].includes(values[`trip.${name}`]));
  if (!known.length) return null;
  return { by: "button", device: "this", ...Object.fromEntries(known.map((name) => [name, values[`trip.${name}`] === "yes"])) };
}

/** @param {[string, any][]} entries @returns {Record<string, any>|null} */
const filled = (entries) => (entries.length ? Object.fromEntries(entries) : null);

/** @param {Values} values @param {string} name */
const typed = (values, name) => !skipped(values, name) && Boolean(values[name]?.trim());

/** @param {Values} values @param {string} name */
const skipped = (values, name) => values[`${name}.skipped`] === "yes";

/**
 * Lists the steps that were not tested, by id.
 * @param {Record<string, any>} check
 * @param {{by: string, trips: boolean, meterProved: boolean}} how
 * @returns {string[]}
 */
export function notTested(check, { by, trips, meterProved }) {
  const missing = [];
  if (!check.look) missing.push("look");
  missing.push(...PAIRS.filter((pair) => !check.volts?.[pair]).map((pair) => `volts.${pair}`));
  if (by !== "meter") missing.push(...PAIRS.filter((pair) => !check.lamps?.[pair]).map((pair) => `lamps.${pair}`));
  if (trips && !check.trip) missing.push("trip");
  if (check.volts && !meterProved) missing.push("meter_proved");
  return missing;
}

/**
 * Makes the body of an arrival check or an outlet test.
 * @param {Values} values
 * @param {{where: "pedestal"|"rig", trips: boolean, judgement: Record<string, any>}} made
 * @returns {Record<string, any>}
 */
export function checkBody(values, { where, trips, judgement }) {
  const check = checkOf(values, where);
  const meterProved = Boolean(check.volts) && values["ready.meter_proved"] === "yes";
  const body = {
    check,
    ready: { dry: values["ready.dry"] === "yes", meter_proved: meterProved, category: (check.volts && values["ready.category"]) || null },
    not_tested: notTested(check, { by: values.by || "meter", trips, meterProved }),
    judgement,
  };
  return where === "pedestal" ? { place: placeOf(values), ...body } : body;
}

/** @param {Values} values */
const placeOf = (values) => ({ park: (values["place.park"] ?? "").trim(), site: (values["place.site"] ?? "").trim() });

/**
 * Makes the body of what was seen after plugging in.
 * @param {Values} values
 * @param {{level: string, rulebook: string}} judgement
 * @returns {Record<string, any>}
 */
export function plugInBody(values, judgement) {
  const skin = skinOf(values);
  const inside = typed(values, "inside") ? measuredEntry("inside", values.inside) : null;
  const missing = [...(skin ? [] : ["skin"]), ...(inside ? [] : ["inside"])];
  return { skin, inside, tingle: values.tingle === "yes", not_tested: missing, judgement };
}

/** @param {Values} values @returns {Record<string, any>|null} */
export function skinOf(values) {
  if (skipped(values, "skin")) return null;
  if (values["skin.by"] === "detector") {
    return ["yes", "no"].includes(values["skin.detected"]) ? { by: "detector", detected: values["skin.detected"] === "yes" } : null;
  }
  return typed(values, "skin.volts") ? { by: "meter", volts: measuredEntry("skin.volts", values["skin.volts"]) } : null;
}

/**
 * Makes a record; every member is present.
 * @param {Record<string, any>} members
 * @returns {Record<string, any>}
 */
export function record(members) {
  return { rig: null, subject: null, made_by: "", instrument: null, corrects: null, reason: null, ...members };
}

/**
 * Turns the body of a check back into what a person entered, for a correction.
 * @param {Record<string, any>} body
 * @returns {Values}
 */
export function valuesOf(body) {
  const { check } = body;
  const bare = (text) => (text ?? "").split(" ")[0];
  const trip = check.trip?.[0] ?? {};
  return {
    "place.park": body.place?.park ?? "",
    "place.site": body.place?.site ?? "",
    outlet: check.outlet,
    supply: check.supply ?? "utility",
    breaker_amps: bare(check.breaker_amps),
    looked: check.look ? "yes" : "no",
    look: check.look ?? [],
    "ready.dry": body.ready.dry ? "yes" : "no",
    "ready.meter_proved": body.ready.meter_proved ? "yes" : "no",
    "ready.category": body.ready.category ?? "",
    "meter.input": check.meter?.input ?? "high-impedance",
    "meter.accuracy_percent": bare(check.meter?.accuracy_percent ?? "1.0"),
    "meter.accuracy_volts": bare(check.meter?.accuracy_volts ?? "0.3"),
    ...Object.fromEntries(PAIRS.map((pair) => [`volts.${pair}`, bare(check.volts?.[pair])])),
    ...Object.fromEntries(PAIRS.map((pair) => [`lamps.${pair}`, check.lamps?.[pair] ?? ""])),
    ...Object.fromEntries(["tripped", "face_dead", "reset"].map((name) => [`trip.${name}`, name in trip ? (trip[name] ? "yes" : "no") : ""])),
    by: check.lamps ? (check.volts ? "both" : "lamps") : "meter",
  };
}
