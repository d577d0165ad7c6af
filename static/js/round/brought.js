// The screens of the steps come after the list.

/** @typedef {typeof import("./step-screens.js")} StepScreens */

/** @type {StepScreens|null} */
let brought = null;

export async function bringSteps() {
  brought ??= await import("./step-screens.js");
}

/** @returns {StepScreens} what was brought */
export function broughtSteps() {
  if (!brought) throw new Error("The screens of the round have not been brought.");
  return brought;
}
