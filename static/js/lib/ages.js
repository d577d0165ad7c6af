/** How long something has waited on this phone, and how grave that is. The two spans are an own choice. */
const HOUR_MS = 3600000;
const DAY_MS = 24 * HOUR_MS;
const LONG_MS = DAY_MS;
const TOO_LONG_MS = 5 * DAY_MS;

/**
 * @param {number|null} since milliseconds since 1970, null when nothing waits
 * @param {number} now
 * @returns {"none"|"amber"|"red"}
 */
export function levelOf(since, now) {
  if (since === null) return "none";
  const waited = now - since;
  if (waited >= TOO_LONG_MS) return "red";
  return waited >= LONG_MS ? "amber" : "none";
}

/** What a level is called on a screen. */
export const LEVELS = { amber: "Waiting for more than a day", red: "Waiting for more than 5 days" };

/**
 * Says how long ago something was; a clock that was set back gives no negative age.
 * @param {number} since
 * @param {number} now
 * @returns {string}
 */
export function age(since, now) {
  const waited = Math.max(now - since, 0);
  if (waited < HOUR_MS) return "less than an hour";
  return waited < 2 * DAY_MS
    ? counted(Math.floor(waited / HOUR_MS), "hour")
    : counted(Math.floor(waited / DAY_MS), "day");
}

/** @param {number} number @param {string} noun @returns {string} */
export function counted(number, noun) {
  return `${number} ${noun}${number === 1 ? "" : "s"}`;
}

/** @param {number} records @param {number} photos @returns {string} such as "1 record and 2 photos" */
export function countedBoth(records, photos) {
  if (!photos) return counted(records, "record");
  return records ? `${counted(records, "record")} and ${counted(photos, "photo")}` : counted(photos, "photo");
}
