// Finds and names what a problem points at (RFC 6901), and puts something else in its place.
import { PAIRS, STATES } from "../lib/words.js";

/** @param {string} pointer @returns {string[]} */
export function stepsOf(pointer) {
  return pointer
    .split("/")
    .slice(1)
    .map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));
}

/** @param {string[]} steps @returns {string} */
export function pointerTo(steps) {
  return steps.map((step) => `/${step.replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");
}

/** @param {any} whole @param {string} pointer @returns {any} undefined where it leads nowhere */
export function valueAt(whole, pointer) {
  return stepsOf(pointer).reduce(
    (value, step) => (isHolder(value) && Object.hasOwn(value, step) ? value[step] : undefined),
    whole,
  );
}

/** @param {any} whole @param {string} pointer @param {any} value @returns {any} a copy with this value there */
export function withValue(whole, pointer, value) {
  const steps = stepsOf(pointer);
  const copy = structuredClone(whole);
  const holder = steps.slice(0, -1).reduce((at, step) => at[step], copy);
  holder[steps.at(-1) ?? ""] = value;
  return copy;
}

/** @param {any} whole @param {string} pointer @returns {any} a copy without what is there */
export function without(whole, pointer) {
  const steps = stepsOf(pointer);
  const copy = structuredClone(whole);
  const holder = steps.slice(0, -1).reduce((at, step) => at[step], copy);
  if (Array.isArray(holder)) holder.splice(Number(steps.at(-1)), 1);
  else delete holder[steps.at(-1) ?? ""];
  return copy;
}

/** @param {any} value @returns {boolean} */
export function isHolder(value) {
  return value !== null && typeof value === "object";
}

/** @param {any} whole @param {string[]} [steps] @returns {[string, any][]} every value in it, with the pointer to it */
export function leavesOf(whole, steps = []) {
  if (!isHolder(whole)) return [[pointerTo(steps), whole]];
  return Object.entries(whole).flatMap(([step, value]) => leavesOf(value, [...steps, step]));
}

/** @type {Record<string, string>} */
const NAMES = {
  observed_at: "Date and time",
  made_by: "Made by",
  reason: "Reason",
  corrects: "Number of the record that it corrects",
  also_corrects: "Number of the other correction",
  subject: "Number of what it is about",
  rig: "Number of the rig",
  instrument: "Number of the instrument",
  id: "Its own number",
  kind: "Kind of record",
  park: "Park",
  site: "Site",
  outlet: "Outlet",
  supply: "Fed by",
  breaker_amps: "Number on the breaker’s handle",
  hertz: "Frequency",
  look: "What was seen",
  accuracy_percent: "Meter’s accuracy, percent",
  accuracy_volts: "Meter’s accuracy, volts",
  input: "Kind of meter",
  category: "Category of the meter",
  dry: "Dry, no thunder",
  meter_proved: "The meter was proved",
  amps: "Amps of the load",
  across: "The load hangs across",
  tripped: "It tripped",
  face_dead: "Its face was dead",
  reset: "RESET brought it back",
  milliseconds: "Milliseconds to trip",
  milliamps: "Milliamps at the trip",
  name: "Name",
  note: "Note",
  type: "Kind",
  installed: "Installed, year and month",
  made: "Made, year and month",
  guard: "Number of what guards it",
  inside: "Volts inside the rig",
  tingle: "A tingle",
  detected: "The detector told voltage",
  what: "What the photo shows",
  not_tested: "Not tested",
  verdict: "Verdict when it was made",
  rulebook: "Rulebook when it was made",
  first: "First explanation when it was made",
  level: "Level when it was made",
};

/** Steps that only lead on and say nothing to a person. */
const SILENT = new Set(["body", "check", "place", "ready", "meter", "judgement", "skin"]);

/**
 * Names what a pointer leads to, in the words of the pages.
 * @param {string} pointer
 * @returns {string} such as "Set 2, under load, volts hot–neutral"
 */
export function labelOf(pointer) {
  const words = stepsOf(pointer)
    .filter((step) => !SILENT.has(step))
    .map(worded)
    .filter(Boolean)
    .join(", ");
  return words ? words.slice(0, 1).toUpperCase() + words.slice(1) : "The record";
}

/** @type {Record<string, string>} */
const READ = { volts: "volts ", lamps: "lamp " };
/** @type {Record<string, string>} */
const GROUPS = { volts: "volts", lamps: "lamps", more: "further sets", trip: "TEST and RESET" };

/** @param {string} step */
const pairName = (step) =>
  Object.hasOwn(PAIRS, step) ? /** @type {Record<string, string>} */ (PAIRS)[step] : undefined;

/** @param {string} step @param {number} i @param {string[]} steps */
function worded(step, i, steps) {
  if (/^\d+$/.test(step))
    return steps[i - 1] === "more" ? `set ${Number(step) + 2}` : steps.length === i + 1 ? String(Number(step) + 1) : "";
  const pair = pairName(step);
  if (pair) return `${READ[steps[i - 1] ?? ""] ?? ""}${pair}`;
  if (Object.hasOwn(GROUPS, step)) return steps.length === i + 1 ? GROUPS[step] : "";
  if (step === "loaded") return "under load";
  return STATES[step] ?? NAMES[step] ?? step.replaceAll("_", " ");
}

/** @type {[RegExp, string][]} */
const UNITS = [
  [/\/(volts(\/[^/]+)?|accuracy_volts|inside)$/, "V"],
  [/\/(breaker_)?amps$/, "A"],
  [/percent$/, "%"],
  [/\/hertz$/, "Hz"],
  [/\/milliseconds$/, "ms"],
  [/\/milliamps$/, "mA"],
];

/** @param {string} pointer @returns {string|null} the unit that a value there is kept with */
export function unitAt(pointer) {
  return UNITS.find(([pattern]) => pattern.test(pointer))?.[1] ?? null;
}
