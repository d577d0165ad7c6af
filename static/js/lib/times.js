/** @param {number} number */
const two = (number) => String(Math.trunc(Math.abs(number))).padStart(2, "0");

/**
 * Gives a moment in local time with its offset: 2026-11-25T10:31:07.123+01:00.
 * @param {Date} date
 * @returns {string}
 */
export function localIso(date) {
  const offset = -date.getTimezoneOffset();
  const sign = offset < 0 ? "-" : "+";
  const local = new Date(date.getTime() + offset * 60000).toISOString().slice(0, -1);
  return `${local}${sign}${two(offset / 60)}:${two(offset % 60)}`;
}

/**
 * Gives the day on which something was observed, as the clock beside it showed.
 * @param {string} observedAt ISO 8601 with offset
 * @returns {string} 2026-11-25
 */
export function dayOf(observedAt) {
  return observedAt.slice(0, 10);
}

/**
 * Gives a moment as a person writes it: 25 Nov 2026, 10:31.
 * @param {string} observedAt ISO 8601 with offset
 * @returns {string}
 */
export function spoken(observedAt) {
  return `${spokenDay(dayOf(observedAt))}, ${observedAt.slice(11, 16)}`;
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** @param {string} day 2026-11-25 @returns {string} 25 Nov 2026 */
export function spokenDay(day) {
  const [year, month, date] = /** @type {[number, number, number]} */ (day.split("-").map(Number));
  return `${date} ${MONTHS[month - 1]} ${year}`;
}
