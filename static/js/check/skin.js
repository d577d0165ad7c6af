import { broughtEngine } from "./engine.js";
import { skinOf } from "./record.js";

/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Values } from "./entries.js" */

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
    const volts = skin?.volts ? Number(skin.volts.split(" ")[0]) : null;
    const judged = broughtEngine().skinLevel(
      { volts, detected: skin?.detected ?? null, tingle, supply: values.supply ?? "" },
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
