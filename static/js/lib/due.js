// The Python twin is fieldlog/model/due.py; both are tested from tests/cases/due.json.

const two = (number) => String(number).padStart(2, "0");

/**
 * Gives the same day of the next month, or that month's last day where it is shorter.
 * @param {string} last 2026-01-31
 * @returns {string} 2026-02-28
 */
export const monthAfter = (last) => monthsAfter(last, 1);

/**
 * Gives the same day some months later, or that month's last day where it is shorter.
 * @param {string} last 2026-11-30
 * @param {number} months
 * @returns {string} 2027-02-28 for three
 */
export function monthsAfter(last, months) {
  const [year, month, day] = last.split("-").map(Number);
  const following = year * 12 + month - 1 + months;
  const [y, m] = [Math.floor(following / 12), (following % 12) + 1];
  const length = new Date(Date.UTC(y, m, 0)).getUTCDate();
  return `${String(y).padStart(4, "0")}-${two(m)}-${two(Math.min(day, length))}`;
}

/**
 * Says when a monthly test is next due, and how that stands today.
 * @param {string|null} last day of the last test, null for never
 * @param {string} today
 * @returns {{last: string|null, next: string|null, state: "never"|"overdue"|"today"|"later"}}
 */
export function due(last, today) {
  if (last === null) return { last, next: null, state: "never" };
  const next = monthAfter(last);
  if (next === today) return { last, next, state: "today" };
  return { last, next, state: next < today ? "overdue" : "later" };
}
