// Canonical JSON, RFC 8785: members sorted by UTF-16 code units, numbers as ECMAScript writes them.

/**
 * Give the canonical form of a JSON value.
 * @param {unknown} value
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value !== null && typeof value === "object") {
    const members = Object.keys(value)
      .sort()
      .map((key) => `${text(key)}:${canonical(/** @type {Record<string, unknown>} */ (value)[key])}`);
    return `{${members.join(",")}}`;
  }
  if (typeof value === "number" && Number.isFinite(value)) return String(value); // as JSON.stringify does, sooner
  if (typeof value === "number") throw new TypeError("JSON has no such number.");
  if (typeof value === "string") return text(value);
  const written = JSON.stringify(value);
  if (written === undefined) throw new TypeError("JSON has no such value.");
  return written;
}

/** @param {string} value */
function text(value) {
  if (!value.isWellFormed?.() && /[\ud800-\udfff]/u.test(value))
    throw new TypeError("The text holds half a character.");
  return JSON.stringify(value);
}
