/** @typedef {import("./entries.js").Values} Values */

/**
 * Shows the parts of a page whose data-when holds and hides the others: "by=lamps|both", "look=" (nothing), "look=*"
 * (anything).
 * @param {Element} root
 * @param {Values} values
 */
export function showWhen(root, values) {
  for (const part of root.querySelectorAll("[data-when]")) part.hidden = !holds(part.dataset.when, values);
}

/**
 * @param {string} condition
 * @param {Values} values
 * @returns {boolean}
 */
export function holds(condition, values) {
  const [name, wanted] = condition.split("=");
  const value = String(values[name] ?? "");
  return wanted === "*" ? value !== "" : wanted.split("|").includes(value);
}

/**
 * Reads what a button says: "looked=yes skin.skipped=no".
 * @param {string|undefined} says
 * @returns {Values}
 */
export function said(says) {
  return Object.fromEntries(
    (says ?? "")
      .split(" ")
      .filter(Boolean)
      .map((part) => part.split("=")),
  );
}
