// How a step of a running round stands: what showed it, and whether an incident came since.
import { recordOf } from "./keeping.js";
import { madeElsewhere, struckSince } from "./steps.js";

/** @import { Noted, Rig } from "../rig/rig-of.js" */
/** @import { Round } from "./keeping.js" */
/** @import { Step } from "./steps.js" */

/**
 * @typedef {object} Standing
 * @property {Noted<"outlet-test">|undefined} made the test on the outlet's own page
 * @property {string|null} shownBy the record that shows it
 * @property {string|null} before what is said where it was noted before an incident: then it is open again
 * @property {string|undefined} state in words; nothing while it is open
 */

/**
 * @param {Rig} rig
 * @param {Round|null} round
 * @param {Step} step
 * @returns {Standing}
 */
export function standingOf(rig, round, step) {
  if (!round) return { made: undefined, shownBy: null, before: null, state: undefined };
  const own = recordOf(round, step);
  const made = madeElsewhere(rig, step, round.started_at);
  const shown = [own ? rig.noted(own) : undefined, made].filter((each) => each !== undefined);
  const struck = shown.map((each) => struckSince(step, each));
  const isStruck = shown.length > 0 && struck.every(Boolean);
  return {
    made,
    shownBy: own ?? made?.record.id ?? null,
    before: isStruck
      ? `Noted before the incident (${struck[0]}), so it shows nothing of what came after: due again`
      : null,
    state: isStruck ? undefined : stateOf(round, step, own, made),
  };
}

/** @param {Round} round @param {Step} step @param {string|null} own @param {Noted<"outlet-test">|undefined} made */
function stateOf(round, step, own, made) {
  if (own) return `Noted: ${round.came[step.key]}`;
  if (made) return "Noted: tested on its own page";
  return step.key in round.skipped ? ["Skipped", round.skipped[step.key]].filter(Boolean).join(": ") : undefined;
}
