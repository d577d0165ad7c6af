// From what a person answered at a step of a round to the body of a record. What was not answered is never made up.
import { THREE_WIRE } from "../engine/contacts.js";
import { TRIPPING } from "../engine/part-kinds.js";
import { protect } from "../engine/protect.js";
import { inItsMode, modesWithPower } from "../engine/trip-modes.js";
import { partsOf } from "../rig/rig-of.js";

/** @import { BodyLook, BodyRigMap, BodyTripTest } from "../../../schemas/shapes/record.d.ts" */
/** @import { LookPoint } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Rig } from "../rig/rig-of.js" */

/** @typedef {Record<string, string>} Answers by field name */

/** @type {Record<string, boolean>} */
const YES_NO = { yes: true, no: false };
const QUESTIONS = /** @type {const} */ (["tripped", "face_dead", "reset"]);

/**
 * @param {string|undefined} type of a device, or kind of its part
 * @returns {boolean} whether it has contacts of its own to read
 */
export const hasFace = (type) => type === "gfci-receptacle";

/**
 * Gives the modes to choose from at a trip of a device; none where it has power in one at most.
 * @param {BodyRigMap} map
 * @param {string} device
 * @returns {string[]}
 */
export function modesToAsk(map, device) {
  const isAsked = map.parts.some((part) => part.device === device && modesWithPower(map, part.id).length > 1);
  return isAsked ? Object.keys(map.modes) : [];
}

/** The answer that names a mode; a mode may be called as any other answer is. @param {string} mode */
export const modeAnswer = (mode) => `mode ${mode}`;

/**
 * @param {Answers} answers
 * @param {string[]} outlets ids of those that were asked about
 * @param {string[]} [modes] that were asked about
 * @returns {BodyTripTest}
 */
export function tripBody(answers, outlets, modes = []) {
  const isTripped = answers.tripped === "yes";
  /** @param {string} name @param {boolean} [isAsked] */
  const answer = (name, isAsked = isTripped) => (isAsked ? YES_NO[answers[name] ?? ""] : null) ?? null;
  const said = {
    tripped: answer("tripped", isTripped || answers.power === "yes"), // without power TEST shows nothing
    face_dead: answer("face_dead"),
    reset: answer("reset", isTripped && answers.pressed === "yes"),
  };
  /** @param {string} how */
  const seen = (how) => outlets.filter((id) => isTripped && (answers[`outlet.${id}`] || answers.others) === how);
  const [dead, live] = [seen("dead"), seen("live")];
  /** @type {BodyTripTest["not_tested"]} */
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

const ASK_POWER = "Say whether it had power before: without it TEST does nothing.";
/** @type {Record<string, string>} */
const NO_POWER = {
  no: "It had no power, so this shows nothing. Switch its breaker on, press TEST again, then say whether it tripped.",
  none: "Plug a lamp in, or read its contacts. With power there, press TEST again. Or skip this step.",
};

/**
 * Says what is still to be answered.
 * @param {Answers} answers
 * @param {{outlets: string[], face: boolean, modes?: string[]}} asked
 * @returns {Record<string, string>} by field
 */
export function tripProblems(answers, { outlets, face, modes = [] }) {
  if (!answers.tripped) return { tripped: "Press TEST, then say whether it tripped. Or skip this step." };
  if (answers.tripped === "no")
    return answers.power === "yes" ? {} : { power: NO_POWER[answers.power ?? ""] ?? ASK_POWER };
  const isOpen = outlets.some((id) => !answers[`outlet.${id}`]) && !answers.others;
  const isModeOpen = modes.length > 0 && !["none", ...modes.map(modeAnswer)].includes(answers.mode ?? "");
  return {
    ...(isModeOpen ? { mode: "Say which mode the rig is in, or choose “Not known”." } : {}),
    ...(face && !answers.face_dead ? { face_dead: "Read its own face, or choose “Not read”." } : {}),
    ...(isOpen ? { others: "Say which outlets are dead, then what the others are." } : {}),
    ...(answers.pressed ? {} : { pressed: "Press RESET, or choose “Not pressed”." }),
    ...(answers.pressed === "yes" && !answers.reset ? { reset: "Say whether RESET holds." } : {}),
  };
}

/** @type {[typeof QUESTIONS[number], string, string][]} */
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
 * @param {BodyTripTest} body of a trip test
 * @param {Rulebook|null} rulebook for its words
 * @returns {string[]} a sentence for each thing that is wrong
 */
export function tripStops(body, rulebook) {
  const wrong = TRIP_FINDINGS.filter(([name]) => body[name] === false);
  return wrong.map(([, id, then]) => [rulebook?.words.findings[id]?.sentence, then].filter(Boolean).join(" "));
}

/**
 * Holds a trip test against the map.
 * @param {BodyRigMap} map
 * @param {Rig} rig
 * @param {string} device
 * @param {BodyTripTest} body
 * @returns {string[]} a sentence for each part that was otherwise than the map says
 */
export function againstMap(map, rig, device, body) {
  const part = map.parts.find((each) => each.device === device && TRIPPING.includes(each.kind));
  if (!part || body.tripped !== true) return [];
  /** @param {string[]} ids */
  const parts = (ids) =>
    rig.outlets.filter((outlet) => ids.includes(outlet.id)).flatMap((outlet) => partsOf(map, "outlet", outlet));
  const [dead, live] = [parts(body.dead), parts(body.live)];
  if (hasFace(part.kind) && body.face_dead !== null) (body.face_dead ? dead : live).push(part.id);
  const found = Object.values(protect(map, [inItsMode(map, { device: part.id, dead, live, mode: body.mode })])).flatMap(
    ({ contradictions }) => contradictions,
  );
  return found.map((one) =>
    otherwise(map.parts.find(({ id }) => id === one.part)?.name ?? one.part, one.expected, one.seen),
  );
}

/** @param {string} name @param {string} expected @param {string} seen */
const otherwise = (name, expected, seen) =>
  seen === "live"
    ? `“${name}” stayed live; the map says ${
        expected
      }. Treat it as unguarded. Try it once more, then put the map right.`
    : `“${name}” went dead; the map says ${expected}. Try it once more, then put the map right.`;

/** @param {LookPoint[]} points @param {Answers} answers @returns {Answers} with good where nothing was said */
export const allGood = (points, answers) => ({
  ...answers,
  ...Object.fromEntries(points.map(({ id }) => [`point.${id}`, answers[`point.${id}`] || "good"])),
});

/**
 * @param {Answers} answers
 * @param {LookPoint[]} points that were asked about
 * @param {BodyLook["of"]} of
 * @returns {BodyLook}
 */
export function lookBody(answers, points, of) {
  /** @type {BodyLook["points"]} */
  const seen = {};
  for (const { id } of points) {
    const how = answers[`point.${id}`];
    if (how === "good" || how === "bad") seen[id] = how;
  }
  return {
    of,
    points: seen,
    not_tested: points.map(({ id }) => id).filter((id) => seen[id] === undefined),
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

/**
 * Gives what the lamps showed, as a check has it.
 * @param {Answers} answers
 * @returns {Record<string, string>}
 */
export function lampsOf(answers) {
  const { pattern = "" } = answers;
  const shown = PATTERNS.includes(pattern)
    ? pattern.split(" ")
    : THREE_WIRE.usual.map((pair) => (pattern === "other" ? answers[`lamps.${pair}`] : ""));
  return Object.fromEntries(THREE_WIRE.usual.map((pair, i) => [`lamps.${pair}`, shown[i] || ""]));
}

/**
 * @param {Answers} answers
 * @param {{supply: string|undefined, isDry: boolean}} known
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
