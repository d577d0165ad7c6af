// From a refused record to a form, and back. What no field reaches is mended as text.
import { labelOf } from "./labels.js";
import { isHolder, leavesOf, pointerTo, stepsOf, unitAt, valueAt, without, withValue } from "./pointers.js";

/**
 * @typedef {object} Field
 * @property {string} at pointer to the value
 * @property {string} label
 * @property {string} typed the value as a person would type it
 * @property {[string, string][]|null} choices value and word, where there are but a few
 * @property {string[]} sentences what the server said of it
 */

/**
 * Makes a field of each problem that leads to a value, or to where one is missing.
 * @param {Record<string, any>} record
 * @param {{at: string, problem: string}[]} problems
 * @param {import("./labels.js").Labels} [labels]
 * @returns {{fields: Field[], elsewhere: {label: string, sentence: string}[], others: [string, string][]}} elsewhere:
 *   what no field reaches; others: label and value of all else
 */
export function formOf(record, problems, labels = []) {
  const reached = [...new Set(problems.map(({ at }) => at))].filter((at) => isReached(record, at));
  const fields = reached.map((at) =>
    fieldAt(
      record,
      at,
      problems.filter((each) => each.at === at).map(({ problem }) => problem),
      labels,
    ),
  );
  const elsewhere = problems
    .filter(({ at }) => !reached.includes(at))
    .map(({ at, problem }) => ({ label: labelOf(at, record.kind, labels), sentence: problem }));
  const others = leavesOf(record)
    .filter(([at, value]) => !reached.includes(at) && value !== null)
    .map(([at, value]) => /** @type {[string, string]} */ ([labelOf(at, record.kind, labels), spoken(value)]));
  return { fields, elsewhere, others };
}

/**
 * A value that is no list or object; or a missing member of an object.
 * @param {Record<string, any>} record
 * @param {string} at
 */
function isReached(record, at) {
  const steps = stepsOf(at);
  if (!steps.length || isHolder(valueAt(record, at))) return false;
  const holder = steps.length > 1 ? valueAt(record, pointerTo(steps.slice(0, -1))) : record;
  return isHolder(holder) && (!Array.isArray(holder) || (steps.at(-1) ?? "") in holder);
}

/**
 * @param {Record<string, any>} record
 * @param {string} at
 * @param {string[]} sentences
 * @param {import("./labels.js").Labels} labels
 * @returns {Field}
 */
function fieldAt(record, at, sentences, labels) {
  const value = valueAt(record, at);
  const named = { at, label: labelOf(at, record.kind, labels), sentences };
  if (sentences.some((sentence) => sentence.endsWith("remove it.")))
    return { ...named, label: `${named.label}: ${value}`, typed: "keep", choices: REMOVING };
  if (typeof value === "boolean") return { ...named, typed: yesNo(value), choices: YES_NO };
  return { ...named, typed: String(value ?? ""), choices: null };
}

/** @type {[string, string][]} */
const YES_NO = [
  ["yes", "Yes"],
  ["no", "No"],
];
/** @type {[string, string][]} */
const REMOVING = [
  ["out", "Take it out"],
  ["keep", "Keep it"],
];

/** @param {unknown} value */
const yesNo = (value) => (value ? "yes" : "no");
/** @param {unknown} value */
const spoken = (value) => (typeof value === "boolean" ? yesNo(value) : String(value));

/**
 * Gives the record with what was typed in place of its values; a bare number gets the unit it is kept with.
 * @param {Record<string, any>} record
 * @param {Field[]} fields
 * @param {Record<string, string>} typed by pointer
 * @returns {Record<string, any>}
 */
export function withTyped(record, fields, typed) {
  const changed = fields.filter(({ at, typed: before }) => typed[at] !== undefined && typed[at] !== before);
  const gone = changed.filter(({ at, choices }) =>
    typed[at] === "out" ? choices === REMOVING : isEmptied(record, at, typed[at] ?? ""),
  );
  const set = changed.filter((field) => !gone.includes(field));
  const whole = set.reduce(
    (at, field) => withValue(at, field.at, meant(typed[field.at] ?? "", valueAt(record, field.at), field)),
    record,
  );
  // The last of a list first, so that the others keep their numbers
  return gone.reduceRight((at, field) => without(at, field.at), whole);
}

/**
 * An entry of a list that was emptied is no entry any more.
 * @param {Record<string, any>} record
 * @param {string} at
 * @param {string} typed
 */
function isEmptied(record, at, typed) {
  return typed.trim() === "" && Array.isArray(valueAt(record, pointerTo(stepsOf(at).slice(0, -1))));
}

/** @param {string} typed @param {unknown} before @param {Pick<Field, "at"|"choices">} field */
function meant(typed, before, { at, choices }) {
  const text = typed.trim();
  if (choices) return text === "yes";
  if (typeof before === "number" && text !== "" && Number.isFinite(Number(text))) return Number(text);
  if (text === "" && (before === null || before === undefined)) return null;
  const unit = unitAt(at);
  return unit && /^\d+([.,]\d+)?$/.test(text) ? `${text.replace(",", ".")} ${unit}` : text;
}

/**
 * Reads a record that was mended as text.
 * @param {string} text
 * @returns {{record: Record<string, any>}|{problem: string}}
 */
export function readText(text) {
  try {
    const record = JSON.parse(text);
    if (isHolder(record) && !Array.isArray(record)) return { record };
    return { problem: "The text has to begin with { and end with }. Put back what is missing." };
  } catch (error) {
    return {
      problem: `This text cannot be read: ${messageOf(error)}. Look for a missing comma, quotation mark or brace.`,
    };
  }
}

/** @param {unknown} error */
const messageOf = (error) => (error instanceof Error ? error.message : String(error));
