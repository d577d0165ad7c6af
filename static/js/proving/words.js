// What is said of a step: where it is done and how it stands.
import { keyOf } from "../engine/proving.js";
import { spoken, spokenDay } from "../lib/times.js";
import { PAIRS } from "../lib/words.js";
import { provedOn, ruleOf, stateOf } from "../rig/proving.js";
import { nameOf } from "../rig/words.js";

/** @import { State, Step } from "../engine/proving.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { Chain } from "../rig/rig-of.js" */

/** @type {Record<string, string>} */
export const UNITS = { V: "V", ohm: "Ω", Mohm: "MΩ" };

/**
 * @param {Progress} progress
 * @param {Step} step
 * @returns {string} the part and the pair, empty for what is done once
 */
export function placeOf({ map }, { part, pair }) {
  const found = map.parts.find(({ id }) => id === part);
  return [found ? nameOf(found) : pair && "Inlet", pair && PAIRS[pair]].filter(Boolean).join(", ");
}

/** @param {Progress} progress @param {Step} step @returns {string} what is asked there */
export function askOf(progress, step) {
  const rule = progress.rules.get(step.rule);
  return (
    (isFrame(progress, step) && rule?.ask_frame) ||
    (!isDrawn(progress) && rule?.ask_undrawn) ||
    (step.part === null && rule?.ask_once) ||
    rule?.ask ||
    step.rule
  );
}

/** @param {Progress} progress */
const isDrawn = ({ rig }) => rig.versions("rig-map").length > 0;

/**
 * @param {Progress} progress
 * @param {Step} step
 * @returns {{label: string, isNeeded: boolean}|null} what is typed beside the answer, and whether it must be
 */
export function namedAt(progress, step) {
  const { named, named_needed: isNeeded = false, named_once: once, named_undrawn: undrawn } = ruleOf(progress, step);
  if (once && step.part === null) return { label: once, isNeeded: true };
  if (undrawn && !isDrawn(progress)) return { label: undrawn, isNeeded: true };
  return named ? { label: named, isNeeded } : null;
}

/**
 * @param {import("../../../schemas/shapes/rig-rules.d.ts").ProvingStep} rule
 * @param {Chain<"proof">|undefined} proof that is bad
 * @returns {string} what to do; a value that is nearly good has words of its own
 */
export function badWords({ nearly, bad }, proof) {
  const value = proof?.body.value;
  if (!nearly || !value) return bad;
  const { below = Infinity, at_least = 0, words } = nearly;
  return Number(value) < below && Number(value) >= at_least ? words : bad;
}

/** @param {Progress} progress @param {Step} step @returns {string} what to heed at an appliance's frame */
export const hintOf = (progress, step) => (isFrame(progress, step) && progress.rules.get(step.rule)?.hint_frame) || "";

/** @param {Progress} progress @param {Step} step */
const isFrame = ({ map }, { part }) => map.parts.some(({ id, kind }) => id === part && kind === "appliance");

/** @param {Progress} progress @param {Step} step @returns {string} */
export function stateWords(progress, step) {
  const proof = progress.newest.get(keyOf(step));
  if (!proof) return "Open";
  return told(STATES[stateOf(progress, step)], proof);
}

/** @type {Partial<Record<State, string>>} */
const STATES = { good: "Good", bad: "BAD", skipped: "Not tested", "too-early": "Does not count: note it again" };

/**
 * @param {Chain<"proof">} proof
 * @returns {string} what it found at its time, whatever was noted since
 */
export const foundWords = (proof) => told((proof.body.outcome && STATES[proof.body.outcome]) ?? "Not tested", proof);

/** @param {string|undefined} word @param {Chain<"proof">} proof */
function told(word, { body: { value, unit, note }, record }) {
  const more = [value && `${value} ${UNITS[unit ?? ""]}`, note].filter(Boolean).join("; ");
  return `${word}${more ? `: ${more}` : ""} (${spoken(record.observed_at)})`;
}

/** @param {Progress} progress */
const byOlder = ({ olderList }) => (olderList ? ` by the list of ${olderList}, which asked for less than today’s` : "");

/** @param {Progress} progress @returns {string} how the change stands */
export function changeWords(progress) {
  if (progress.state === "proved")
    return `Proved ${spokenDay(provedOn(progress) ?? "")}${byOlder(progress)}: entered by the owner, not an inspection`;
  return progress.state === "failed" ? "Changed, not yet proved: a step is bad" : "Changed, not yet proved";
}
