// A trial of a phone: what was tried so far, and the result that a person may hand on.
import { STEPS, stateOf } from "./states.js";

/** @import { PhoneTrial } from "../../../schemas/shapes/phone-trial.d.ts" */
/** @import { Observation, Step, StepId } from "./states.js" */

/** @typedef {Omit<PhoneTrial, "what"|"version"|"began_at"|"written_at"|"steps">} Phone */
/** @typedef {{began_at: string, screen: StepId|"all", steps: Step[]}} Trial */

const WHAT = "fieldlog phone trial";
const VERSION = 1;
const LONGEST_NOTE = 500;

/** @param {string} at @returns {Trial} one in which nothing was tried yet */
export function newTrial(at) {
  const untried = { state: "not-tried", told_by: null, at: null, took_ms: null, note: "", seen: {} };
  return { began_at: at, screen: "all", steps: STEPS.map((step) => /** @type {Step} */ ({ step, ...untried })) };
}

/**
 * @template {StepId} Id
 * @param {Trial} trial
 * @param {Id} id
 * @returns {Extract<Step, {step: Id}>}
 */
export function stepIn(trial, id) {
  return /** @type {Extract<Step, {step: Id}>} */ (trial.steps.find(({ step }) => step === id));
}

/**
 * Gives the trial with what the page observed at a step; a note of before stays.
 * @template {StepId} Id
 * @param {Trial} trial
 * @param {Id} id
 * @param {Observation<Id>} seen
 * @param {{at: string, took_ms: number|null}} when
 * @returns {Trial}
 */
export function withSeen(trial, id, seen, { at, took_ms }) {
  const state = stateOf(id, seen);
  return changed(trial, id, { state, told_by: "page", at, took_ms: took_ms === null ? null : tenths(took_ms), seen });
}

/**
 * Gives the trial in which a person says that a step did not work, beside what the page observed.
 * @param {Trial} trial
 * @param {StepId} id
 * @param {{at: string, note: string}} told
 * @returns {Trial}
 */
export function withFailure(trial, id, { at, note }) {
  const said = note.trim().slice(0, LONGEST_NOTE);
  return changed(trial, id, { state: "seen-not-to-work", told_by: "person", at, note: said });
}

/**
 * Gives what a person may hand on.
 * @param {Trial} trial
 * @param {Phone} phone
 * @param {string} at
 * @returns {PhoneTrial}
 */
export function resultOf({ began_at, steps }, phone, at) {
  const whole = /** @type {PhoneTrial["steps"]} */ (steps);
  return { what: WHAT, version: VERSION, began_at, written_at: at, ...phone, steps: whole };
}

/** @param {number} number @returns {number} no finer than a tenth */
export const tenths = (number) => Math.round(number * 10) / 10;

/**
 * @param {Trial} trial
 * @param {StepId} id
 * @param {Partial<Step>} members
 * @returns {Trial}
 */
function changed(trial, id, members) {
  const steps = trial.steps.map((each) => (each.step === id ? /** @type {Step} */ ({ ...each, ...members }) : each));
  return { ...trial, steps };
}
