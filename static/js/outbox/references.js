// How records speak of each other: by id, anywhere in their text.

/** Where a record that is missing on the server stands in the problems of another. */
const PLACES =
  /^\/(rig|subject|instrument|corrects|also_corrects|body\/(guard|dead|live|steps|map|record|parts))(\/|$)/;

/** @param {any} value @param {string} id @returns {boolean} */
export function speaksOf(value, id) {
  return JSON.stringify(value ?? null).includes(`"${id}"`);
}

/**
 * Gives the value with one id in place of another, wherever it stands as a whole text.
 * @template T
 * @param {T} value
 * @param {string} id
 * @param {string} fresh
 * @returns {T}
 */
export function renamed(value, id, fresh) {
  return JSON.parse(JSON.stringify(value).replaceAll(`"${id}"`, `"${fresh}"`));
}

/**
 * @param {import("./rows.js").Row} row
 * @param {Set<string>} ids now on the server
 * @returns {boolean} whether it was refused for want of one of them
 */
export function waitedFor(row, ids) {
  if (row.saved !== "refused" || !row.problems.some(({ at }) => PLACES.test(at))) return false;
  return [...ids].some((id) => id !== row.id && speaksOf(row.record, id));
}
