const WORTH_SAYING_S = 300;

/**
 * Says by how much the phone's clock and the server's differed, where that is more than five minutes.
 * @param {number|null|undefined} offset_s the server's time less the phone's
 * @returns {string|null} such as "12 minutes ahead of"
 */
export function clockWords(offset_s) {
  if (typeof offset_s !== "number" || Math.abs(offset_s) <= WORTH_SAYING_S) return null;
  return `${span(Math.abs(offset_s))} ${offset_s > 0 ? "behind" : "ahead of"}`;
}

/** @param {number} seconds @returns {string} */
function span(seconds) {
  const minutes = Math.round(seconds / 60);
  if (minutes < 120) return `${minutes} minutes`;
  const hours = Math.round(minutes / 60);
  return hours < 48 ? `${hours} hours` : `${Math.round(hours / 24)} days`;
}
