// The Python twin is fieldlog/model/due.py; both are tested from tests/cases/due.json.

const LAST_DAY = "9999-12-31";
const DAY_MS = 86_400_000;

/** @param {number} number */
const two = (number) => String(number).padStart(2, "0");

/**
 * Gives the same day some months later, or that month's last day where it is shorter.
 * @param {string} last 2026-11-30
 * @param {number} months
 * @returns {string} 2027-02-28 for three; the last day of the year 9999 where that lies beyond it
 */
export function monthsAfter(last, months) {
  const [year, month, day] = /** @type {[number, number, number]} */ (last.split("-").map(Number));
  const following = year * 12 + month - 1 + months;
  const y = Math.floor(following / 12);
  const m = (following % 12) + 1;
  if (y > 9999) return LAST_DAY;
  const length = new Date(Date.UTC(y, m, 0)).getUTCDate();
  return `${String(y).padStart(4, "0")}-${two(m)}-${two(Math.min(day, length))}`;
}

/**
 * Gives the day some days later.
 * @param {string} day 2026-12-31
 * @param {number} days
 * @returns {string} 2027-01-01 for one; the last day of the year 9999 where that lies beyond it
 */
export function daysAfter(day, days) {
  const text = new Date(Date.parse(day) + days * DAY_MS).toISOString();
  return text.startsWith("+") ? LAST_DAY : text.slice(0, 10);
}
