// Finds what a problem points at (RFC 6901), and puts something else in its place.

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

/** @type {[RegExp, string][]} */
const UNITS = [
  [/\/(volts(\/[^/]+)?|accuracy_volts|inside)$/, "V"],
  [/\/(breaker_amps|loaded\/amps)$/, "A"],
  [/percent$/, "%"],
  [/\/hertz$/, "Hz"],
  [/\/milliseconds$/, "ms"],
  [/\/milliamps$/, "mA"],
];

/** @param {string} pointer @returns {string|null} the unit that a value there is kept with */
export function unitAt(pointer) {
  return UNITS.find(([pattern]) => pattern.test(pointer))?.[1] ?? null;
}
