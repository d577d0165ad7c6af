// Reads and fills forms by the names of their fields, and shows what is wrong beside each.

/**
 * Reads what a form holds: text as typed, the chosen radio or "", a list for checkboxes of one name.
 * @param {HTMLFormElement} form
 * @returns {Record<string, string|string[]>}
 */
export function read(form) {
  /** @type {Record<string, string|string[]>} */
  const values = {};
  for (const field of named(form)) {
    if (field.type === "checkbox")
      values[field.name] = [...(values[field.name] ?? []), ...(field.checked ? [field.value] : [])];
    else if (field.type === "radio") values[field.name] = field.checked ? field.value : (values[field.name] ?? "");
    else values[field.name] = field.value;
  }
  return values;
}

/**
 * Puts values into the fields of a form; names it does not have are passed over.
 * @param {HTMLFormElement} form
 * @param {Record<string, string|string[]>} values
 */
export function fill(form, values) {
  for (const field of fieldsOf(form)) {
    const value = values[field.name];
    if (!field.name || value === undefined) continue;
    if (field.type === "checkbox") field.checked = value.includes(field.value);
    else if (field.type === "radio") field.checked = field.value === value;
    else field.value = String(value);
  }
}

/**
 * Shows a sentence at each field that has a problem, and clears the others.
 * @param {HTMLFormElement} form
 * @param {Record<string, string>} problems by field name
 */
export function showProblems(form, problems) {
  for (const place of placesIn(form)) {
    const problem = problems[place.dataset.problem] ?? "";
    place.textContent = problem;
    place.hidden = problem === "";
  }
  for (const field of named(form)) {
    if (problems[field.name]) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
  named(form)
    .find((field) => problems[field.name])
    ?.focus();
}

/**
 * Takes a problem away as soon as its field is changed.
 * @param {HTMLFormElement} form
 * @param {string} name
 */
export function clearProblem(form, name) {
  const place = placesIn(form).find(({ dataset }) => dataset.problem === name);
  if (place) place.hidden = true;
  for (const field of fieldsOf(form)) if (field.name === name) field.removeAttribute("aria-invalid");
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLInputElement} field
 * @returns {HTMLInputElement|undefined} the next text field that is still empty
 */
export function nextEmptyField(form, field) {
  const texts = named(form).filter((other) => other.type === "text" && other.checkVisibility());
  return texts.slice(texts.indexOf(field) + 1).find((other) => !other.value);
}

/** @param {HTMLFormElement} form @returns {HTMLInputElement[]} the fields in use now */
export function named(form) {
  return fieldsOf(form).filter((field) => field.name && !field.closest("[hidden]") && !field.disabled);
}

/**
 * @param {HTMLFormElement} form
 * @returns {HTMLInputElement[]} buttons and sets of fields among them, which have no name
 */
const fieldsOf = (form) => /** @type {HTMLInputElement[]} */ ([...form.elements]);

/** @typedef {HTMLElement & {dataset: {problem: string}}} ProblemPlace */

/** @param {HTMLFormElement} form @returns {ProblemPlace[]} */
const placesIn = (form) => /** @type {ProblemPlace[]} */ ([...form.querySelectorAll("[data-problem]")]);
