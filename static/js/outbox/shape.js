// What something read from a file has to be.

/** @typedef {(value: unknown) => boolean} ValueTest */
/** @typedef {ValueTest|ShapeOfEach|ShapeOfMembers} Shape */
/** @typedef {{[place: number]: Shape} & unknown[]} ShapeOfEach */
/** @typedef {{[member: string]: Shape}} ShapeOfMembers */

// A function asks the value; [shape] is a list of such; { member: shape } a thing, "member?" one that may be absent,
// "*" each.

const ID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const MOMENT = /^\d{4}-(0[1-9]|1[0-2])-\d\dT\d\d:\d\d/;

/** @type {ValueTest} */
export const id = (value) => typeof value === "string" && ID.test(value);
/** @type {(value: unknown) => value is string} */
export const text = (value) => typeof value === "string";
/** @type {ValueTest} */
export const flag = (value) => typeof value === "boolean";
/** @type {ValueTest} */
export const moment = (value) => text(value) && MOMENT.test(value);
/** @type {ValueTest} */
export const number = (value) => Number.isFinite(value);
/** @param {Shape} shape @returns {ValueTest} */
export const orNull = (shape) => (value) => value === null || wrongAt(value, shape) === null;

/**
 * @param {unknown} value
 * @param {Shape} shape
 * @param {string} [at]
 * @returns {string|null} where a value first has not the shape, as a pointer; null where it has
 */
export function wrongAt(value, shape, at = "") {
  if (typeof shape === "function") return shape(value) ? null : at;
  if (Array.isArray(shape))
    return Array.isArray(value)
      ? firstWrong(
          value.map((inner, i) => [i, inner]),
          /** @type {Shape} */ (shape[0]),
          at,
        )
      : at;
  if (typeof value !== "object" || value === null || Array.isArray(value)) return at;
  if (shape["*"]) return firstWrong(Object.entries(value), shape["*"], at);
  for (const [name, inner] of Object.entries(shape)) {
    const member = name.replace("?", "");
    if (!Object.hasOwn(value, member) && member !== name) continue;
    const wrong = wrongAt(/** @type {Record<string, unknown>} */ (value)[member], inner, `${at}/${member}`);
    if (wrong !== null) return wrong;
  }
  return null;
}

/** @param {[string|number, unknown][]} entries @param {Shape} shape @param {string} at @returns {string|null} */
function firstWrong(entries, shape, at) {
  for (const [step, inner] of entries) {
    const wrong = wrongAt(inner, shape, `${at}/${step}`);
    if (wrong !== null) return wrong;
  }
  return null;
}
