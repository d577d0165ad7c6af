// What is said of a step: where it is done and how it stands.
import { keyOf } from "../engine/proving.js";
import { spoken, spokenDay } from "../lib/times.js";
import { PAIRS } from "../lib/words.js";
import { provedOn, stateOf } from "../rig/proving.js";
import { nameOf } from "../rig/words.js";

/** @typedef {import("../rig/proving.js").Progress} Progress */
/** @typedef {import("../engine/proving.js").Step} Step */

export const UNITS = { V: "V", ohm: "Ω", Mohm: "MΩ" };

/**
 * @param {Progress} progress
 * @param {Step} step
 * @returns {string} the part and the pair, empty for what is done once
 */
export function placeOf({ map }, { part, pair }) {
  const found = map.parts.find(({ id }) => id === part);
  return [found ? nameOf(found) : pair && "Inlet", PAIRS[pair]].filter(Boolean).join(", ");
}

/** @param {Progress} progress @param {Step} step @returns {string} what is asked there */
export function askOf(progress, step) {
  const rule = progress.rules.get(step.rule) ?? {};
  return (isFrame(progress, step) && rule.ask_frame) || (step.part === null && rule.ask_once) || rule.ask || step.rule;
}

/** @param {Progress} progress @param {Step} step @returns {string} what to heed at an appliance's frame */
export const hintOf = (progress, step) => (isFrame(progress, step) && progress.rules.get(step.rule).hint_frame) || "";

const isFrame = ({ map }, { part }) => map.parts.some(({ id, kind }) => id === part && kind === "appliance");

/** @param {Progress} progress @param {Step} step @returns {string} */
export function stateWords(progress, step) {
  const proof = progress.newest.get(keyOf(step));
  if (!proof) return "Open";
  return told(STATES[stateOf(progress, step)], proof);
}

const STATES = { good: "Good", bad: "BAD", skipped: "Not tested", "too-early": "Does not count: note it again" };

/**
 * @param {import("../rig/rig-of.js").Noted} proof
 * @returns {string} what it found at its time, whatever was noted since
 */
export const foundWords = (proof) => told({ good: "Good", bad: "BAD" }[proof.body.outcome] ?? "Not tested", proof);

function told(word, { body: { value, unit, note }, record }) {
  const more = [value && `${value} ${UNITS[unit]}`, note].filter(Boolean).join("; ");
  return `${word}${more ? `: ${more}` : ""} (${spoken(record.observed_at)})`;
}

/** @param {Progress} progress @returns {string} how the change stands */
export function changeWords(progress) {
  if (progress.state === "proved")
    return `Proved ${spokenDay(provedOn(progress))}: entered by the owner, not an inspection`;
  return progress.state === "failed" ? "Changed, not yet proved: a step is bad" : "Changed, not yet proved";
}
