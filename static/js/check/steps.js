import { addedSteps, lampNames, lampsStep, voltsSteps } from "./added.js";

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
  if (values.quick === "yes") return [...quickSteps(values), ...(usable ? afterVerdict(values) : [])];
  const start = where === "pedestal" ? ["where", "outlet", "look"] : ["outlet", "look"];
  if (stopped) return [...start, "verdict"];
  const base = [...start, "by", ...testing(values), ...(trips && values.by !== "none" ? ["trip"] : [])];
  const steps = [...base, ...addedSteps(values).filter((step) => !base.includes(step)), "verdict"];
  return where === "pedestal" && usable ? [...steps, ...afterVerdict(values)] : steps;
}

/** @param {Values} values @returns {string[]} */
const quickSteps = (values) => ["where", "quick", ...addedSteps(values), "verdict"];

/** The tester is proved before it goes in. @param {Values} values @returns {string[]} */
function testing(values) {
  if (values.by === "none") return ["no-tester"];
  const byMeter = values.by !== "lamps";
  const byLamps = values.by === "lamps" || values.by === "both";
  return [
    ...(byMeter ? ["meter"] : []),
    ...(byLamps ? proved(lampNames(values)) : []),
    "ready",
    ...(byMeter ? voltsSteps(values) : []),
    ...(byLamps ? [lampsStep(values)] : []),
  ];
}

/** A tester whose lamps were just learnt at a right outlet has been proved by that. @param {string[]} names */
const proved = (names) => (names.includes("lamp-learn") ? names : [...names, "tester"]);

/** @param {Values} values @returns {string[]} */
function afterVerdict(values) {
  return ["plug", "skin", ...(values["skin.level"] === "stop" ? ["unplug"] : ["inside", "done"])];
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
  return steps[index < 0 ? most : Math.min(index, most)] ?? "";
}

/**
 * @param {string[]} steps
 * @param {string} step
 * @returns {number} how much of the way to the verdict is gone with it, 0 to 1; what follows the verdict adds nothing
 */
export const shareGone = (steps, step) => Math.min(1, (steps.indexOf(step) + 1) / (steps.indexOf("verdict") + 1));
