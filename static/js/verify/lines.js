// A signed record as a person reads it: every member with its value, as text and nothing else.

/** @typedef {{position: number, receivedAt: string, serverAheadMs: number|null, record: Record<string, any>}} Entry */

/**
 * Shows an entry with all that stands in it.
 * @param {Entry} entry
 * @param {Record<string, string>} kinds what people call each kind
 */
export function shownRecord({ position, receivedAt, serverAheadMs, record }, kinds) {
  const shown = document.createElement("details");
  const head = document.createElement("summary");
  const kind = kinds[record.kind] ?? record.kind;
  head.textContent = `${position}: ${kind}, ${record.observed_at}${record.corrects ? ", a correction" : ""}`;
  const { id, kind: _, body, ...others } = record;
  const ahead = serverAheadMs === null ? "not told" : `${serverAheadMs / 1000} s behind the server’s`;
  shown.append(head, members({ ...body, ...others, id, "received at": receivedAt, "clock of the phone": ahead }));
  return shown;
}

/** @param {Record<string, unknown>} value */
function members(value) {
  const found = document.createElement("dl");
  for (const [name, each] of Object.entries(value)) {
    if (each === null || each === "") continue;
    const term = document.createElement("dt");
    const told = document.createElement("dd");
    term.textContent = name.replaceAll("_", " ");
    told.append(held(each));
    found.append(term, told);
  }
  return found;
}

/** @param {unknown} value @returns {Node|string} */
function held(value) {
  if (Array.isArray(value) && value.every((each) => typeof each !== "object")) return value.join(", ") || "none";
  if (value !== null && typeof value === "object")
    return members(/** @type {Record<string, unknown>} */ ({ ...value }));
  return String(value);
}
