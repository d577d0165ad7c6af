/** Text that may enter the page as markup, because every value in it was escaped. */
export class Markup {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
  }
}

/** @type {Record<string, string>} */
const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" };

/** @param {unknown} value @returns {string} */
function escaped(value) {
  if (value === null || value === undefined || value === false) return "";
  if (value instanceof Markup) return value.text;
  if (Array.isArray(value)) return value.map(escaped).join("");
  return String(value).replace(/[&<>"']/g, (sign) => /** @type {string} */ (ESCAPES[sign]));
}

/**
 * Template tag that escapes every value; nothing, false and lists of markup are understood.
 * @param {TemplateStringsArray} parts
 * @param {...unknown} values
 * @returns {Markup}
 */
export function html(parts, ...values) {
  return new Markup(parts.reduce((text, part, i) => text + escaped(values[i - 1]) + part));
}

/**
 * Replaces what an element holds.
 * @param {Element} element
 * @param {Markup} markup
 */
export function show(element, markup) {
  if (!(markup instanceof Markup)) throw new TypeError("Only markup made by the html tag is shown.");
  element.innerHTML = markup.text;
}
