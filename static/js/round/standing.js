// How a step of a running round stands: what showed it, and whether an incident came since.
import { dayOf } from "../lib/times.js";
import { recordOf } from "./keeping.js";
import { madeElsewhere, struckSince } from "./steps.js";

/** @import { Chain, Rig } from "../rig/rig-of.js" */
/** @import { Round } from "./keeping.js" */
/** @import { Step } from "./steps.js" */

/**
 * @typedef {object} Standing
 * @property {Chain<"outlet-test">|undefined} made the test on the outlet's own page
 * @property {string|null} shownBy the record that shows it
 * @property {string|null} before what is said where it was noted before an incident: then it is open again
 * @property {string|undefined} state in words; nothing while it is open
 */

/**
 * @param {Rig} rig
 * @param {Round|null} round
 * @param {Step} step
 * @param {string} today
 * @returns {Standing}
 */
export function standingOf(rig, round, step, today) {
  if (!round) return { made: undefined, shownBy: null, before: null, state: undefined };
  const own = recordOf(round, step);
  const made = madeElsewhere(rig, step, round.started_at);
  const shown = [own ? rig.noted(own) : undefined, made].filter((each) => each !== undefined);
  const since = shown.map((each) => outdated(step, each, today));
  const before = shown.length > 0 && since.every(Boolean) ? (since[0] ?? null) : null;
  return {
    made,
    shownBy: own ?? made?.record.id ?? null,
    before,
    state: before ? undefined : stateOf(round, step, own, made),
  };
}

/**
 * Why what was noted shows nothing of now, or null.
 * @param {Step} step
 * @param {Chain<any>} noted
 * @param {string} today
 */
function outdated(step, noted, today) {
  const incident = struckSince(step, noted);
  if (incident) return `Noted before the incident (${incident}), so it shows nothing of what came after: due again`;
  const isOfADay = step.of === "set-look" && dayOf(noted.record.observed_at) !== today;
  return isOfADay ? "Looked over on an earlier day: each day’s use asks for its own look" : null;
}

/** @param {Round} round @param {Step} step @param {string|null} own @param {Chain<"outlet-test">|undefined} made */
function stateOf(round, step, own, made) {
  if (own) return `Noted: ${round.came[step.key]}`;
  if (made) return "Noted: tested on its own page";
  return step.key in round.skipped ? ["Skipped", round.skipped[step.key]].filter(Boolean).join(": ") : undefined;
}
