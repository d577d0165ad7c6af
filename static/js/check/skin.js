import { broughtEngine } from "./engine.js";
import { skinOf } from "./record.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Skin } from "../engine/skin.js" */
/** @import { Values } from "./entries.js" */

/** @param {Record<string, any>|null} skin as recorded @returns {Omit<Skin, "tingle"|"supply">} what is judged */
export const readSkin = (skin) => ({
  volts: voltsOf(skin?.volts),
  low_impedance_volts: voltsOf(skin?.low_impedance),
  earth_proved: skin?.earth_proved ?? null,
  detected: skin?.detected ?? null,
});

/** @param {string|undefined} text such as "1.2 V" */
function voltsOf(text) {
  if (text === undefined) return null;
  const [volts] = /^[\d.]+(?= V$)/.exec(text) ?? [];
  if (volts === undefined) throw new Error("These are no volts.");
  return Number(volts);
}

/**
 * Judges the rig's skin and writes level and sentence beside what was entered. What cannot be judged stops.
 * @param {Values} values
 * @param {Rulebook|null} rulebook
 */
export function judgeSkin(values, rulebook) {
  const skin = skinOf(values);
  const tingle = values.tingle === "yes";
  values["skin.level"] = "not-tested";
  values["skin.sentence"] = "The skin was not tested.";
  if (!skin && !tingle) return;
  try {
    const judged = broughtEngine().skinLevel(
      { ...readSkin(skin), tingle, supply: values.supply ?? "" },
      /** @type {Rulebook} */ (rulebook), // without one it throws, and that is told
    );
    values["skin.level"] = judged.level;
    values["skin.sentence"] = judged.sentence;
  } catch (error) {
    console.error(error);
    values["skin.level"] = "stop";
    values["skin.sentence"] = "The skin’s reading could not be judged, so it counts as a stop.";
  }
}
