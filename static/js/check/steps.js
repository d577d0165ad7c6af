/** @typedef {import("./entries.js").Values} Values */

const VOLTS = ["volts.h-n", "volts.h-g", "volts.n-g"];

/**
 * Lists the steps of a check, in order, as far as what was entered so far decides them.
 * @param {Values} values
 * @param {{where: "pedestal"|"rig", stopped: boolean, usable: boolean, trips: boolean}} situation
 *   stopped: what was seen forbids the outlet; usable: the verdict lets the rig be plugged in; trips: this outlet has TEST and RESET
 * @returns {string[]}
 */
export function stepsFor(values, { where, stopped, usable, trips }) {
  const start = where === "pedestal" ? ["where", "outlet", "look"] : ["outlet", "look"];
  if (stopped) return [...start, "verdict"];
  const steps = [...start, "ready", "by", ...readings(values), ...(trips ? ["trip"] : []), "verdict"];
  return where === "pedestal" && usable ? [...steps, "plug", "skin", ...afterSkin(values)] : steps;
}

/** @param {Values} values @returns {string[]} */
function readings(values) {
  const byMeter = values.by === "lamps" ? [] : ["meter", ...VOLTS];
  if (values.by === "meter" || !values.by) return byMeter;
  return [...byMeter, ...(values.lamps_known === "yes" ? [] : ["lamp-names"]), "lamps"];
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
