// What the parts of a rig are called, and what is said of each in the drawing and in words.
import { OUTLETS } from "../engine/part-kinds.js";
import { dayOf, spokenDay } from "../lib/times.js";
import { KINDS } from "./kinds.js";
import { CORDS, LEGS, PLACES } from "./part-choices.js";

/** @import { RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @import { Protection } from "../engine/protect.js" */
/** @import { Contradiction, Disproof, SelfContradiction } from "./judged.js" */

const SEEN = { dead: "went dead", live: "stayed live" };
const SAYS = { dead: "that it goes dead", live: "that it stays live" };

/**
 * @typedef {object} ModeWords what the map and the trips say, in one mode
 * @property {Record<string, string[]>} guards by part, nearest first
 * @property {Set<string>} fed the parts that have a feed
 * @property {Map<string, string>} names
 * @property {number[]} without runs that this mode does not have
 * @property {Contradiction[]} contradictions
 * @property {Record<string, Disproof[]>} disproved by part, the guards that the map says and a trip disproved
 * @property {Protection["stops"]} stops
 */

/** @param {Pick<RigPart, "name"|"kind">} part @returns {string} */
export const nameOf = (part) => part.name || KINDS[part.kind];

/** @param {{parts: RigPart[]}} map @returns {Map<string, string>} by id */
export const namesOf = ({ parts }) => new Map(parts.map((part) => [part.id, nameOf(part)]));

/** @param {RigPart} part @returns {string} kind, rating and place */
export function kindOf(part) {
  const kind = part.kind === "breaker" && part.gfci ? KINDS["gfci-breaker"] : KINDS[part.kind];
  const rating = part.outlet_type ?? (part.amps ? `${part.amps} A` : null);
  const bonded = part.bonded ? "neutral and ground joined" : null;
  return [kind, rating, ...placesOf(part), bonded, ...detailsOf(part)].filter(Boolean).join(", ");
}

/** @param {RigPart} part what only some parts are asked */
const detailsOf = ({ watts, continuous, leg, shares_neutral: other, tied }) => [
  watts ? `${watts} W` : null,
  continuous ? "runs for hours" : null,
  leg ? LEGS[leg] : null,
  other ? "shares a neutral" : null,
  typeof tied === "boolean" ? (tied ? "tied" : "not tied") : null,
];

/** @param {Pick<RigPart, "where">} part @returns {string[]} */
export const placesOf = ({ where = [] }) => where.map((place) => PLACES[place]);

/**
 * @param {RigRun} run
 * @param {boolean} hasSides whether it leaves a device with a line and a load side
 * @returns {string}
 */
export function runText({ awg, feet, from_side: side, cord }, hasSides) {
  const wire = awg ? `${awg} AWG` : "gauge not noted";
  return [wire, feet ? `${feet} ft` : null, cord ? CORDS[cord] : null, hasSides ? `${side ?? "line"} side` : null]
    .filter(Boolean)
    .join(", ");
}

/**
 * Says how a part stands in a mode.
 * @param {Pick<RigPart, "id"|"kind">} part
 * @param {Pick<ModeWords, "guards"|"fed">} known
 * @returns {"out"|"guarded"|"unguarded"|""} empty where a guard does not matter
 */
export function standingOf({ id, kind }, { guards, fed }) {
  if (!fed.has(id)) return "out";
  if (!OUTLETS.includes(kind)) return "";
  return guards[id]?.length ? "guarded" : "unguarded";
}

/**
 * Says what guards a part, or that nothing does, and what a trip test shows otherwise than the map.
 * @param {Pick<RigPart, "id"|"kind">} part
 * @param {Pick<ModeWords, "guards"|"fed"|"names"|"disproved">} known
 * @returns {string}
 */
export function guardText(part, known) {
  const { guards, names } = known;
  const by = () => (guards[part.id] ?? []).map((id) => (id === part.id ? "itself" : names.get(id))).join(", ");
  const said = {
    out: () => "No feed in this mode",
    guarded: () => `Guarded by ${by()}`,
    unguarded: () => "NOT guarded",
    "": () => "",
  };
  const told = said[standingOf(part, known)]();
  return told ? [told, ...deniedTexts(part, known)].join("; ") : "";
}

/**
 * Says of each guard that a trip test disproved what the map says and what the test shows.
 * @param {Pick<RigPart, "id">} part
 * @param {Pick<ModeWords, "names"|"disproved">} known
 */
export const deniedTexts = ({ id }, { names, disproved }) =>
  (disproved[id] ?? []).map(({ guard, test }) => {
    const says = guard === id ? "it guards itself" : `${names.get(guard)} guards it`;
    return `the map says that ${says}, a trip test on ${spokenDay(dayOf(test.record.observed_at))} shows otherwise`;
  });

/**
 * Whether what is said of a part's guard is the map's word alone, which a trip contradicts.
 * @param {Pick<RigPart, "id">} part
 * @param {Pick<ModeWords, "contradictions"|"disproved">} known
 */
export const isOnlyMap = ({ id }, { contradictions, disproved }) =>
  contradictions.some(({ part }) => part === id) && !disproved[id]?.length;

/** @param {Contradiction} one @returns {string} for the drawing */
export const contradictionLabel = ({ seen, trip, part }) =>
  `Trip test: ${part === trip.device ? "its face " : ""}${SEEN[seen]}`;

/**
 * Says what was seen, what the map says, and what to do.
 * @param {Contradiction} one
 * @param {Map<string, string>} names
 * @returns {string}
 */
export function contradictionText({ part, expected, seen, trip, test }, names) {
  const [device, own] = [`“${names.get(trip.device)}”`, `“${names.get(part)}”`];
  const what = part === trip.device ? `The face of ${device}` : own;
  const said = `${what} ${SEEN[seen]} when ${device} tripped on ${spokenDay(
    dayOf(test.record.observed_at),
  )}, and the map says ${SAYS[expected]}.`;
  if (seen === "dead") return `${said} Look what feeds it, and mend the map.`;
  if (trip.by === "hand")
    return `${said} Treat it as live while ${device} is off, look what feeds it, and mend the map.`;
  return `${said} Treat it as not guarded by ${device}, and mend the map or the wiring.`;
}

/**
 * Says that a trip test says both of a part, and what to do.
 * @param {SelfContradiction} one
 * @param {Map<string, string>} names
 * @returns {string}
 */
export function toldBothText({ device, part, test }, names) {
  const [by, own] = [`“${names.get(device)}”`, `“${names.get(part)}”`];
  const day = spokenDay(dayOf(test.record.observed_at));
  const told = `${part === device ? `The face of ${by}` : own} is told both ways when ${by} tripped on ${day}`;
  return (
    `${told}, as dead and as live, so that test tells nothing of it. ` +
    "Trip it once more and note this part, or correct that test."
  );
}
