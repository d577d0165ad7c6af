// The reminder to read the volts again in the evening, when everybody cooks.
import { offerReminder } from "../check/remind.js";

const EVENING_HOUR = 19;
const WHAT = {
  tag: "read-the-volts",
  title: "Read the volts at the rig",
  over: "It is evening",
  words: "Read the volts at the rig with the loads on, and hold them against the plan. Below 108 V switch loads off.",
};

/** This evening, or tomorrow's where it has begun. @param {Date} now */
export function eveningAfter(now) {
  const at = new Date(now);
  at.setHours(EVENING_HOUR, 0, 0, 0);
  if (at <= now) at.setDate(at.getDate() + 1);
  return at;
}

/** @param {Element} place */
export const offerEvening = (place) => offerReminder(place, eveningAfter(new Date()), WHAT);
