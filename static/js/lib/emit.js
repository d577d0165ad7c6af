/**
 * Sends an event upwards from an element.
 * @param {Element} element
 * @param {string} name starts with "fl-"
 * @param {unknown} [detail]
 */
export function emit(element, name, detail) {
  element.dispatchEvent(new CustomEvent(name, { bubbles: true, detail }));
}
