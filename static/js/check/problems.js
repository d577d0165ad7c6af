import { named } from "../lib/fields.js";
import { problemOf } from "./entries.js";

/**
 * Finds what is wrong with the fields of a form, each with a sentence that says what to do.
 * A field, or the group around it, says in data-blank what to do when nothing was entered; without it, blank is fine.
 * @param {HTMLFormElement} form
 * @returns {Record<string, string>} by field name
 */
export function problemsOf(form) {
  /** @type {Record<string, string>} */
  const problems = {};
  for (const field of named(form)) {
    const problem = field.type === "radio" ? unchosen(form, field) : wrong(field);
    if (problem) problems[field.name] = problem;
  }
  return { ...allLeftOut(form), ...sameNames(named(form)), ...notLearnt(form), ...problems };
}

/** Lamps are learnt from a right outlet only. @param {HTMLFormElement} form @returns {Record<string, string>} */
function notLearnt(form) {
  const chosen = named(form).filter(({ name, checked }) => checked && name.startsWith("lamp.learnt."));
  const problem = chosen.length ? learntProblem(chosen.map(({ value }) => value)) : null;
  return problem ? { "lamp.learnt.3": problem } : {};
}

const NOT_RIGHT =
  "At a right outlet two lamps light and one stays dark. If yours shows something else, take another outlet, or read " +
  "with a meter.";
/** @param {string[]} states of the lamps at an outlet said to be right @returns {string|null} */
export function learntProblem(states) {
  const [lit, dark] = ["lit", "dark"].map((state) => states.filter((seen) => seen === state).length);
  return lit === 2 && dark === 1 ? null : NOT_RIGHT;
}

const SAME_NAME = "Another lamp is called so already. Give each a name of its own.";

/**
 * Two lamps with one name cannot be told apart.
 * @param {{name: string, value: string}[]} fields
 * @returns {Record<string, string>} by the name of the later field
 */
export function sameNames(fields) {
  const names = fields
    .filter(({ name, value }) => /\.called$/.test(name) && value.trim())
    .map(({ name, value }) => [name, value.trim().toLowerCase()]);
  const twice = names.filter(([, called], i) => names.slice(0, i).some(([, other]) => other === called));
  return Object.fromEntries(twice.map(([name]) => [name, SAME_NAME]));
}

/**
 * A group that says in data-some what to do when all its fields are blank: one reading is enough, none is not.
 * @param {HTMLFormElement} form
 * @returns {Record<string, string>}
 */
function allLeftOut(form) {
  /** @type {Record<string, string>} */
  const blank = {};
  /** @type {NodeListOf<HTMLElement>} */
  const groups = form.querySelectorAll("[data-some]");
  for (const group of groups) {
    const fields = named(form).filter((field) => group.contains(field));
    if (fields[0] && !fields.some(isFilled)) blank[fields[0].name] = group.dataset.some ?? "";
  }
  return blank;
}

/** @param {HTMLInputElement} field */
const isFilled = (field) =>
  field.type === "radio" ? field.checked && field.value !== "none" : field.value.trim() !== "";

/** @param {HTMLFormElement} form @param {HTMLInputElement} field */
function unchosen(form, field) {
  const blank = field.closest("fieldset")?.dataset.blank;
  return blank && !new FormData(form).get(field.name) ? blank : null;
}

/** @param {HTMLInputElement} field */
function wrong(field) {
  if (field.type === "checkbox") return null;
  if (field.value.trim()) return problemOf(field.name, field.value);
  return isLeftOut(field) ? null : (field.dataset.blank ?? null);
}

/** Fields that belong together may all be blank, but not some of them. @param {HTMLInputElement} field */
function isLeftOut(field) {
  const { together } = field.dataset;
  return (
    field.form !== null &&
    Boolean(together) &&
    named(field.form).every((other) => other.dataset.together !== together || !other.value.trim())
  );
}
