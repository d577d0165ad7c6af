// The months that alarms and the fire extinguisher carry as their end. The Python twins are
// fieldlog/model/ends.py and ends_of in fieldlog/reports/looks.py; the lines are tested from tests/cases/ends.json.

/** @import { Rig } from "./rig-of.js" */

/** @type {Record<string, string>} */
export const ENDS = {
  smoke: "Smoke alarm",
  co: "Carbon monoxide alarm",
  gas: "Gas alarm",
  extinguisher: "Fire extinguisher",
};
export const MONTH = /^\d{4}-(0[1-9]|1[0-2])$/;
/** Own choice: time enough to buy one. */
const NEAR_MONTHS = 3;

/**
 * Says how the end of a thing stands; the month itself still belongs to it.
 * @param {string} month 2031-05
 * @param {string} today 2031-02-11
 * @returns {"past"|"near"|"later"}
 */
export function endStanding(month, today) {
  const left = monthNumber(month) - monthNumber(today);
  if (left < 0) return "past";
  return left < NEAR_MONTHS ? "near" : "later";
}

/**
 * Gives a line for each end that is past or near.
 * @param {Record<string, string>} ends months by what they stand on
 * @param {string} today
 * @returns {string[]}
 */
export function endLines(ends, today) {
  return Object.entries(ENDS).flatMap(([id, name]) => {
    const month = ends[id] ?? "";
    const standing = MONTH.test(month) ? endStanding(month, today) : "later";
    if (standing === "past") return [`${name}: its end, ${month}, is past. Replace it.`];
    return standing === "near" ? [`${name}: its end, ${month}, is near. Have a new one ready.`] : [];
  });
}

/** @param {string} day */
const monthNumber = (day) => Number(day.slice(0, 4)) * 12 + Number(day.slice(5, 7));

/**
 * @param {Rig} rig
 * @returns {Record<string, string>} months by what they stand on
 */
export function endsOf(rig) {
  const oldestFirst = rig.newest("look").reverse();
  return Object.assign({}, ...oldestFirst.map(({ body }) => body.ends ?? {}));
}
