import { addedSteps, lampSteps, voltsSteps } from "./added.js";

/** @typedef {import("./entries.js").Values} Values */

/** The first steps, which are the same whatever the rulebook says. */
export const PLAIN = ["", "where", "outlet", "look"];

/**
 * Lists the steps of a check, in order, as far as what was entered so far decides them. Tests that were added come
 * before the verdict, which is judged with all of them.
 * @param {Values} values
 * @param {{where: "pedestal"|"rig", stopped: boolean, usable: boolean, trips: boolean}} situation
 *   stopped: what was seen forbids the outlet; usable: the verdict lets the rig be plugged in; trips: this outlet has
 *   TEST and RESET
 * @returns {string[]}
 */
export function stepsFor(values, { where, stopped, usable, trips }) {
  const start = where === "pedestal" ? ["where", "outlet", "look"] : ["outlet", "look"];
  if (stopped) return [...start, "verdict"];
  const base = [...start, "ready", "by", ...readings(values), ...(trips ? ["trip"] : [])];
  const steps = [...base, ...addedSteps(values).filter((step) => !base.includes(step)), "verdict"];
  return where === "pedestal" && usable ? [...steps, "plug", "skin", ...afterSkin(values)] : steps;
}

/** @param {Values} values @returns {string[]} */
function readings(values) {
  const byMeter = values.by === "lamps" ? [] : ["meter", ...voltsSteps(values)];
  return values.by === "meter" || !values.by ? byMeter : [...byMeter, ...lampSteps(values)];
}

/** @param {Values} values @returns {string[]} */
function afterSkin(values) {
  return values["skin.level"] === "stop" ? ["unplug"] : ["inside", "done"];
}

/**
 * Gives the step to show for a wanted one: itself, or the furthest one that may be shown.
 * @param {string[]} steps
 * @param {string} wanted
 * @param {string} reached the furthest step reached so far
 * @returns {string}
 */
export function allowedStep(steps, wanted, reached) {
  const most = Math.max(0, steps.indexOf(reached));
  const index = steps.indexOf(wanted);
  return steps[index < 0 ? most : Math.min(index, most)];
}
