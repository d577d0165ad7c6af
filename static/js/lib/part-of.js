/**
 * Finds what a page or an element cannot do without.
 * @template {Element} [Part=HTMLElement]
 * @param {ParentNode} whole
 * @param {string} selector
 * @param {new () => Part} [Kind] what it has to be
 * @returns {Part}
 */
export function partOf(whole, selector, Kind = /** @type {any} */ (HTMLElement)) {
  const part = whole.querySelector(selector);
  if (part instanceof Kind) return part;
  throw new Error(`There is no ${selector} on this page.`);
}
