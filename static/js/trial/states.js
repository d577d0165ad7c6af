// What is said of each thing that was tried on a phone, by what was observed and no more.
/** @import { PhoneTrial, State } from "../../../schemas/shapes/phone-trial.d.ts" */

/** @typedef {PhoneTrial["steps"][number]} Step */
/** @typedef {Step["step"]} StepId */
/**
 * @template {StepId} Id
 * @typedef {Extract<Step, {step: Id}>["seen"]} Observation of one step
 */

/** What is typed into the field for numbers, and how it has to be read. */
export const TYPED = "1.5";

/** @type {{[Id in StepId]: (seen: Observation<Id>) => State}} */
const STATES = {
  store: ({ opened, read_back, log_opened }) => worked(opened && read_back && log_opened),
  "strict-save": ({ asked, saved, durability }) => worked(asked && saved === asked && durability === "strict"),
  kill: ({ marked_at, rows_there, rows_written, closed }) => {
    if (!marked_at) return "seen-not-to-work";
    if (rows_there === undefined) return "begun";
    if (rows_there !== rows_written) return "seen-not-to-work";
    return closed === "closed" ? "seen-to-work" : "begun";
  },
  stay: ({ granted }) => worked(granted),
  camera: ({ kept }) => worked(kept),
  notification: ({ permission, shown, noticed }) => {
    if (permission === "default") return "begun"; // nobody has answered the browser's question
    if (!shown || noticed === false) return "seen-not-to-work";
    return noticed ? "seen-to-work" : "begun";
  },
  reach: ({ secure, worker_registered }) => worked(secure && worker_registered),
  keypad: ({ typed, read_as, decimal_key }) => {
    if (!typed || !decimal_key) return "begun";
    return worked(read_as === TYPED && decimal_key !== "none");
  },
};

/** In the order in which they are tried. */
export const STEPS = /** @type {StepId[]} */ (Object.keys(STATES));

/** @type {Record<State, string>} */
export const STATE_WORDS = {
  "seen-to-work": "seen to work",
  "seen-not-to-work": "seen not to work",
  begun: "begun",
  "not-tried": "not tried",
};

/**
 * Gives the state that follows from what was observed of a step that was tried.
 * @template {StepId} Id
 * @param {Id} step
 * @param {Observation<Id>} seen
 * @returns {State}
 */
export const stateOf = (step, seen) => STATES[step](seen);

/** @param {unknown} isSeen @returns {State} */
const worked = (isSeen) => (isSeen ? "seen-to-work" : "seen-not-to-work");
