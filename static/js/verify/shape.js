// Holds a value against a JSON Schema, as far as schemas/bundle.schema.json uses one: a word that is not known here
// is an error, never passed over.
import { canonical } from "../engine/canonical.js";

/** @typedef {Record<string, any>} Schema */

const PASSED_OVER = ["$schema", "$defs", "title", "description"];

/**
 * Gives the place of the first thing that is not as the schema says, or null.
 * @param {unknown} value
 * @param {Schema} schema
 * @param {Schema} [root] where "#/$defs/…" are
 * @param {string} [at]
 * @returns {string|null}
 */
export function misshapen(value, schema, root = schema, at = "") {
  for (const [word, said] of Object.entries(schema)) {
    if (PASSED_OVER.includes(word)) continue;
    const rule = RULES[word];
    if (!rule) throw new TypeError(`The schema holds ${word}, which is not known here.`);
    const found = rule(said, value, { schema, root, at });
    if (found !== null) return found;
  }
  return null;
}

/** @typedef {{schema: Schema, root: Schema, at: string}} SchemaPlace */

/** @type {Record<string, (said: any, value: any, around: SchemaPlace) => string|null>} */
const RULES = {
  $ref: (said, value, { root, at }) => misshapen(value, root.$defs[said.replace("#/$defs/", "")], root, at),
  type: (said, value, { at }) =>
    unless(
      [said].flat().some((/** @type {string} */ each) => IS[each]?.(value)),
      at,
    ),
  const: (said, value, { at }) => unless(canonical(said) === canonical(value), at),
  pattern: (said, value, { at }) => unless(typeof value !== "string" || new RegExp(said, "u").test(value), at),
  maxLength: (said, value, { at }) => unless(typeof value !== "string" || [...value].length <= said, at),
  minimum: (said, value, { at }) => unless(typeof value !== "number" || value >= said, at),
  maximum: (said, value, { at }) => unless(typeof value !== "number" || value <= said, at),
  maxItems: (said, value, { at }) => unless(!Array.isArray(value) || value.length <= said, at),
  required: (said, value, { at }) =>
    unless(!isObject(value) || said.every((/** @type {string} */ name) => Object.hasOwn(value, name)), at),
  additionalProperties: (_, value, { schema, at }) =>
    unless(!isObject(value) || Object.keys(value).every((name) => Object.hasOwn(schema.properties, name)), at),
  properties: (said, value, { root, at }) =>
    isObject(value)
      ? first(Object.keys(said), (name) =>
          Object.hasOwn(value, name) ? misshapen(value[name], said[name], root, `${at}${at && "/"}${name}`) : null,
        )
      : null,
  items: (said, value, { root, at }) =>
    Array.isArray(value)
      ? first([...value.keys()], (each) => misshapen(value[each], said, root, `${at}/${each}`))
      : null,
};

/** @type {Record<string, (value: unknown) => boolean>} */
const IS = {
  object: (value) => isObject(value),
  array: (value) => Array.isArray(value),
  string: (value) => typeof value === "string",
  integer: (value) => Number.isInteger(value),
  null: (value) => value === null,
};

/** @param {unknown} value @returns {value is Record<string, unknown>} */
const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);

/** @param {boolean} holds @param {string} at */
const unless = (holds, at) => (holds ? null : at || "the document");

/**
 * @template Each
 * @param {Each[]} all
 * @param {(each: Each) => string|null} look
 */
function first(all, look) {
  for (const each of all) {
    const found = look(each);
    if (found !== null) return found;
  }
  return null;
}
