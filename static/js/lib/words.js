/** The trade's words for what is between two contacts. */
export const PAIRS = { "h-n": "hot–neutral", "h-g": "hot–ground", "n-g": "neutral–ground" };

/** @type {Record<string, string>} */
export const SUPPLIES = { utility: "campground supply", generator: "generator", inverter: "inverter" };

/** What each step is called when it was not tested. */
const STEPS = {
  look: "Looking the outlet over",
  trip: "The TEST and RESET buttons",
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
  const [by, pair] = step.split(".");
  if (by === "volts") return `Volts ${PAIRS[pair]}`;
  if (by === "lamps") return `The ${PAIRS[pair]} lamp`;
  return STEPS[step] ?? step;
}

/** @param {{park?: string, site?: string}|undefined} place @returns {string} */
export function placeName(place) {
  const parts = [place?.park, place?.site && `site ${place.site}`].filter(Boolean);
  return parts.join(", ") || "Place not named";
}
