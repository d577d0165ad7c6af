// From what a person answered at a step of a round to the body of a record. What was not answered is never made up.
import { protect, TRIPPING } from "../engine/protect.js";
import { inItsMode, modesWithPower } from "../engine/trip-modes.js";
import { partsOf } from "../rig/due.js";

/** @typedef {Record<string, string>} Answers by field name */

const YES_NO = { yes: true, no: false };
const QUESTIONS = ["tripped", "face_dead", "reset"];

/**
 * @param {string} type of a device, or kind of its part
 * @returns {boolean} whether it has contacts of its own to read
 */
export const hasFace = (type) => type === "gfci-receptacle";

/**
 * Gives the modes to choose from at a trip of a device; none where it has power in one at most.
 * @param {import("../rig/map-of.js").RigMap} map
 * @param {string} device
 * @returns {string[]}
 */
export function modesToAsk(map, device) {
  const isAsked = partsOf(map, "device", { id: device }).some((part) => modesWithPower(map, part).length > 1);
  return isAsked ? Object.keys(map.modes) : [];
}

/** The answer that names a mode; a mode may be called as any other answer is. @param {string} mode */
export const modeAnswer = (mode) => `mode ${mode}`;

/**
 * @param {Answers} answers
 * @param {string[]} outlets ids of those that were asked about
 * @param {string[]} [modes] that were asked about
 * @returns {Record<string, any>} the body of a trip test
 */
export function tripBody(answers, outlets, modes = []) {
  const isTripped = answers.tripped === "yes";
  const said = Object.fromEntries(
    QUESTIONS.map((name) => [name, (isTripped || name === "tripped" ? YES_NO[answers[name]] : null) ?? null]),
  );
  const seen = (how) => outlets.filter((id) => isTripped && (answers[`outlet.${id}`] || answers.others) === how);
  const [dead, live] = [seen("dead"), seen("live")];
  const missing = QUESTIONS.filter((name) => said[name] === null);
  const mode = modes.length ? { mode: modes.find((each) => answers.mode === modeAnswer(each)) ?? null } : {};
  return {
    by: "button",
    ...said,
    dead,
    live,
    not_tested: dead.length || live.length ? missing : [...missing, "outlets"],
    ...mode,
  };
}

/**
 * Says what is still to be answered.
 * @param {Answers} answers
 * @param {{outlets: string[], face: boolean, modes?: string[]}} asked
 * @returns {Record<string, string>} by field
 */
export function tripProblems(answers, { outlets, face, modes = [] }) {
  if (!answers.tripped) return { tripped: "Press TEST, then say whether it tripped. Or skip this step." };
  if (answers.tripped === "no") return {};
  const isOpen = outlets.some((id) => !answers[`outlet.${id}`]) && !answers.others;
  const isModeOpen = modes.length > 0 && !["none", ...modes.map(modeAnswer)].includes(answers.mode);
  return {
    ...(isModeOpen ? { mode: "Say which mode the rig is in, or choose “Not known”." } : {}),
    ...(face && !answers.face_dead ? { face_dead: "Read its own face, or choose “Not read”." } : {}),
    ...(isOpen ? { others: "Say which outlets are dead, then what the others are." } : {}),
  };
}

const TRIP_FINDINGS = [
  ["tripped", "trip-failed", "Do not use what it guards. Replace the device, then test again."],
  ["face_dead", "face-live-after-trip", "Do not use its face until it is mended and tested again."],
  [
    "reset",
    "reset-failed",
    "Leave it off. Unplug what hangs on it and try once more; if it still does not hold, replace it.",
  ],
];

/**
 * @param {Record<string, any>} body of a trip test
 * @param {Record<string, any>|null} rulebook for its words
 * @returns {string[]} a sentence for each thing that is wrong
 */
export function tripStops(body, rulebook) {
  const wrong = TRIP_FINDINGS.filter(([name]) => body[name] === false);
  return wrong.map(([, id, then]) => [rulebook?.words.findings[id]?.sentence, then].filter(Boolean).join(" "));
}

/**
 * Holds a trip test against the map.
 * @param {import("../rig/map-of.js").RigMap} map
 * @param {import("../rig/rig-of.js").Rig} rig
 * @param {string} device
 * @param {Record<string, any>} body of the trip test
 * @returns {string[]} a sentence for each part that was otherwise than the map says
 */
export function againstMap(map, rig, device, body) {
  const part = map.parts.find((each) => each.device === device && TRIPPING.includes(each.kind));
  if (!part || body.tripped !== true) return [];
  const parts = (ids) =>
    rig.outlets.filter((outlet) => ids.includes(outlet.id)).flatMap((outlet) => partsOf(map, "outlet", outlet));
  const [dead, live] = [parts(body.dead), parts(body.live)];
  if (hasFace(part.kind) && body.face_dead !== null) (body.face_dead ? dead : live).push(part.id);
  const found = Object.values(protect(map, [inItsMode(map, { device: part.id, dead, live, mode: body.mode })])).flatMap(
    ({ contradictions }) => contradictions,
  );
  return found.map((one) => otherwise(map.parts.find(({ id }) => id === one.part).name, one.expected, one.seen));
}

const otherwise = (name, expected, seen) =>
  seen === "live"
    ? `“${name}” stayed live; the map says ${
        expected
      }. Treat it as unguarded. Try it once more, then put the map right.`
    : `“${name}” went dead; the map says ${expected}. Try it once more, then put the map right.`;

/**
 * @param {Answers} answers
 * @param {Record<string, any>[]} points that were asked about
 * @param {string} of
 * @returns {Record<string, any>} the body of a look
 */
export function lookBody(answers, points, of) {
  const said = points.map(({ id }) => [id, answers[`point.${id}`]]);
  const known = said.filter(([, how]) => ["good", "bad"].includes(how));
  return {
    of,
    points: Object.fromEntries(known),
    not_tested: said.filter((each) => !known.includes(each)).map(([id]) => id),
    note: "",
  };
}

/**
 * The complete patterns that a tester of three lamps shows; in the order of the pairs hot–neutral, hot–ground,
 * neutral–ground.
 */
export const PATTERNS = [
  "lit lit dark",
  "lit dark dark",
  "dark lit dark",
  "dark lit lit",
  "lit dark lit",
  "dark dark dark",
];

const PAIRS = ["h-n", "h-g", "n-g"];

/**
 * Gives what the lamps showed, as a check has it.
 * @param {Answers} answers
 * @returns {Record<string, string>}
 */
export function lampsOf(answers) {
  const shown = PATTERNS.includes(answers.pattern)
    ? answers.pattern.split(" ")
    : PAIRS.map((pair) => (answers.pattern === "other" ? answers[`lamps.${pair}`] : ""));
  return Object.fromEntries(PAIRS.map((pair, i) => [`lamps.${pair}`, shown[i] || ""]));
}

/**
 * @param {Answers} answers
 * @param {{supply: string, isDry: boolean}} known
 * @returns {Record<string, string>} what is still to be answered, by field
 */
export function outletProblems(answers, { supply, isDry }) {
  const lamps = Object.values(lampsOf(answers));
  const isOpen = lamps.some((shown) => !shown) || lamps.every((shown) => shown === "none");
  return {
    ...(isDry ? {} : { dry: "Do not probe in rain or on wet ground. Skip this step and come back when it is dry." }),
    ...(supply ? {} : { supply: "Say what feeds the rig now." }),
    ...(isOpen
      ? {
          pattern:
            answers.pattern === "other"
              ? "Say what each lamp shows."
              : "Tap what your tester shows, or skip this step.",
        }
      : {}),
  };
}
