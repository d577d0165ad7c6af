// How long to wait before something is tried again.
const MINUTE_MS = 60000;
const HOUR_S = 3600;

/**
 * Says when a record on which the server fails is tried again: after a minute, since most spells of errors are short,
 * then after a quarter of an hour, then each hour; a little later each time so that not all phones come at once.
 * @param {number} tries how often it failed so far, this time included
 * @param {number} now in milliseconds
 * @param {number} [chance] 0 to 1
 * @returns {number} in milliseconds
 */
export function nextTry(tries, now, chance = Math.random()) {
  const minutes = tries > 2 ? 60 : tries > 1 ? 15 : 1;
  return now + minutes * MINUTE_MS * (1 + chance / 4);
}

const LONGEST_WAIT_MS = 75 * MINUTE_MS;

/**
 * @param {number} time @param {number} now
 * @returns {boolean} whether it is time; one that lies further ahead than any wait comes from a clock that was set back
 */
export const isDue = (time, now) => time <= now || time > now + LONGEST_WAIT_MS;

/**
 * @param {number} count what did not come through within the time
 * @returns {number} how much is tried next: two cuts of a hundred make it six, three one
 */
export const fewer = (count) => Math.max(1, count >> 2);

/**
 * Reads how long a server asks to be left alone.
 * @param {string|null} text seconds or a date
 * @param {number} [now] in milliseconds
 * @returns {number|null} seconds, 1 to 3600; null where it says nothing
 */
export function retryAfter(text, now = Date.now()) {
  if (!text) return null;
  const seconds = /^\d+$/.test(text.trim()) ? Number(text) : (Date.parse(text) - now) / 1000;
  return Number.isNaN(seconds) ? null : Math.min(Math.max(seconds, 1), HOUR_S);
}

/**
 * Cuts a batch that failed as a whole into at most ten, so that one bad record is alone after two cuts of a hundred:
 * each cut tries it once more, and nothing is to be tried more than six times an hour.
 * @template T
 * @param {T[]} rows
 * @param {number} [size]
 * @returns {T[][]}
 */
export function parts(rows, size = Math.ceil(rows.length / 10)) {
  return Array.from({ length: Math.ceil(rows.length / size) }, (_, i) => rows.slice(i * size, (i + 1) * size));
}

/**
 * Reads how far the server's clock is ahead of the phone's.
 * @param {string} there what the server's clock showed
 * @param {number} before in milliseconds, when it was asked
 * @param {number} after when it had answered
 * @returns {number|null} seconds
 */
export function clockOffset(there, before, after) {
  const seconds = (Date.parse(there) - (before + after) / 2) / 1000;
  return Number.isFinite(seconds) ? Math.round(seconds * 10) / 10 : null;
}
