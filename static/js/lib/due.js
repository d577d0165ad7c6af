// The Python twin is fieldlog/model/due.py; both are tested from tests/cases/due.json.

const two = (number) => String(number).padStart(2, "0");

/**
 * Gives the same day of the next month, or that month's last day where it is shorter.
 * @param {string} last 2026-01-31
 * @returns {string} 2026-02-28
 */
export function monthAfter(last) {
  const [year, month, day] = last.split("-").map(Number);
  const following = month === 12 ? [year + 1, 1] : [year, month + 1];
  const length = new Date(Date.UTC(following[0], following[1], 0)).getUTCDate();
  return `${String(following[0]).padStart(4, "0")}-${two(following[1])}-${two(Math.min(day, length))}`;
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
