import { PAIRS } from "./contacts.js";

export { PAIRS };

/** @type {Record<string, string>} The words of the verdicts, for where the rulebook has not come yet. */
export const VERDICTS = {
  use: "Use",
  "use-limited": "Use with limits",
  "test-more": "Test more",
  "do-not-use": "Do not use",
};

/** @type {Record<string, string>} */
export const SUPPLIES = { utility: "shore power", generator: "generator", inverter: "inverter" };

/** @type {Record<string, string>} */
export const INPUTS = { "high-impedance": "High-impedance meter", "low-impedance": "Low-impedance meter" };

/** @type {Record<string, string>} How the outlet was while a further set was read. */
export const STATES = { "as-found": "As found", unplugged: "Everything else unplugged", "breaker-off": "Breaker off" };

/** @type {Record<string, string>} What a detector was held to. */
export const DETECTOR = {
  h: "the hot contact",
  x: "leg X",
  y: "leg Y",
  n: "the neutral contact",
  g: "the ground contact",
  skin: "the rig’s skin",
};

/** @type {Record<string, string>} What a continuity test lies between. */
export const CONTINUITIES = {
  "n-g": "Neutral to ground, nothing live",
  "g-frame": "Ground contact to frame, source stopped",
};

/** @type {Record<string, string>} What each step is called when it was not tested. */
const STEPS = {
  look: "Looking the outlet over",
  trip: "The TEST and RESET buttons",
  tripped: "Whether it trips",
  face_dead: "Whether its own face goes dead",
  reset: "Whether RESET brings it back",
  meter_proved: "The meter on a known source, just before",
  skin: "The rig’s skin against an earth",
  inside: "Volts inside the rig",
};

/**
 * Names a step that was not tested.
 * @param {string} step id, such as "volts.h-n"
 * @returns {string}
 */
export function stepName(step) {
  const [by, pair = ""] = step.split(".");
  if (by === "volts") return `Volts ${PAIRS[pair]}`;
  if (by === "lamps") return `The ${PAIRS[pair]} lamp`;
  return STEPS[step] ?? step;
}

/** @param {{park?: string, site?: string}|undefined} place @returns {string} */
export function placeName(place) {
  const parts = [place?.park, place?.site && `site ${place.site}`].filter(Boolean);
  return parts.join(", ") || "Place not named";
}
