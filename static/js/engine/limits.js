// What stands against using an outlet, apart from its wiring. Twin of fieldlog/engine/limits.py.

import { has, SIGNS } from "./intake.js";

const STOP_SIGNS = ["burned", "wet", "warm", "buzzing", "tingle", "breaker-will-not-hold"];
export const PRACTICE = "common practice";
const OWN_CHOICE = "own choice";
const FIFTEEN_ON_TWENTY = "NEC 210.21(B)(3): 15 A receptacles on a 20 A circuit of two or more";

/** Give a finding with every member present. */
export function finding(id, level, source, more = {}) {
  return { id, level, source, quantity: null, value: null, uncertainty: null, limit: null, straddles: null, ...more };
}

export function lookFindings(check) {
  if (check.look === null) return [finding("not-looked", "note", PRACTICE)];
  return SIGNS.filter((sign) => check.look.includes(sign)).map((sign) =>
    finding(sign, STOP_SIGNS.includes(sign) ? "stop" : "limit", PRACTICE),
  );
}

export function breakerFindings(check, rulebook) {
  const outlet = rulebook.raw.outlets[check.outlet];
  const rating = outlet.rating_amps;
  if (check.breakerAmps === null || check.breakerAmps <= rating) return [];
  const more = { quantity: "breaker_amps", value: check.breakerAmps, limit: rating };
  if (check.outlet === "5-15" && check.breakerAmps === 20) {
    return [finding("breaker-too-big", "note", FIFTEEN_ON_TWENTY, more)];
  }
  return [finding("breaker-too-big", "stop", outlet.source, more)];
}

export function frequencyFindings(check, rulebook) {
  if (check.hertz === null) return [];
  const low = rulebook.limits["hertz-low"];
  const high = rulebook.limits["hertz-high"];
  if (low.value <= check.hertz && check.hertz <= high.value) return [];
  const border = check.hertz < low.value ? low : high;
  return [finding("frequency", "limit", border.source, { quantity: "hertz", value: check.hertz, limit: border.value })];
}

export function voltageFindings(check, rulebook) {
  if (!has(check.volts, "h-n")) return [];
  const volts = check.volts["h-n"];
  const accuracy = (volts * check.meter.accuracyPercent) / 100 + check.meter.accuracyVolts;
  const measured = { quantity: "h-n", value: volts, uncertainty: accuracy };
  const found = [];
  const coarse = rulebook.limits["meter-coarse"];
  if (accuracy > coarse.value) {
    const more = { ...measured, limit: coarse.value, straddles: false };
    found.push(finding("meter-too-coarse", "limit", coarse.source, more));
  }
  const low = lowBand(volts - accuracy, check, rulebook);
  const high = highBand(volts + accuracy, rulebook);
  for (const [name, band, own] of [
    ["voltage-low", low, lowBand(volts, check, rulebook)],
    ["voltage-high", high, highBand(volts, rulebook)],
  ]) {
    if (band === null) continue;
    const [level, limit] = band;
    const straddles = own === null || own[0] !== level;
    found.push(finding(name, level, limit.source, { ...measured, limit: limit.value, straddles }));
  }
  return found;
}

function lowBand(volts, check, { limits }) {
  const border = check.where === "rig" ? limits["rig-low-limit"] : limits["low-limit"];
  if (volts < limits["low-stop"].value) return ["stop", limits["low-stop"]];
  if (volts < border.value) return ["limit", border];
  return volts < limits["low-note"].value ? ["note", limits["low-note"]] : null;
}

function highBand(volts, { limits }) {
  if (volts > limits["high-stop"].value) return ["stop", limits["high-stop"]];
  if (volts > limits["high-limit"].value) return ["limit", limits["high-limit"]];
  return volts > limits["high-note"].value ? ["note", limits["high-note"]] : null;
}

export function detectorFindings(check) {
  const found = [];
  if (check.near.skin) found.push(finding("skin-live", "stop", PRACTICE));
  if (check.near.g) found.push(finding("ground-near-voltage", "limit", PRACTICE));
  return found;
}

export function continuityFindings(check) {
  return check.isGroundOnFrame === false ? [finding("ground-not-on-frame", "stop", PRACTICE)] : [];
}

export function evidenceFindings(check, first) {
  const hasLamps = Object.keys(check.lamps).length > 0;
  const found = [];
  if (hasLamps && !has(check.volts, "h-n")) found.push(finding("volts-not-measured", "limit", OWN_CHOICE));
  if (first === "floating-supply" && check.supply !== "utility" && check.isGroundOnFrame === null) {
    found.push(finding("ground-not-shown", "limit", OWN_CHOICE));
  }
  if (hasLamps || Object.keys(check.volts).length > 0) found.push(finding("not-loaded", "note", PRACTICE));
  return found;
}
