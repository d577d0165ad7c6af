// From what was said of a cord set to the body of its record.

/** @import { BodyDevice } from "../../../schemas/shapes/record.d.ts" */
/** @import { Chain } from "../rig/rig-of.js" */

/** @typedef {Record<string, string>} Answers by field name */

/**
 * Says what is still to be answered.
 * @param {Answers} answers
 * @param {Chain<"device">[]} sets that the rig has already
 * @returns {Record<string, string>} by field
 */
export function setProblems({ type, number = "", hots, fixed }, sets) {
  const marked = number.trim();
  const same = sets.find(({ body }) => !body.retired && isSame(body.number ?? "", marked));
  return {
    ...(type ? {} : { type: "Say what it is." }),
    ...(marked ? {} : { number: "Mark a number on it and write it here: the set is known by it." }),
    ...(marked && same ? { number: `“${same.body.name}” has this number. Mark another on this one.` } : {}),
    ...(hots ? {} : { hots: "Say whether it has one hot or two." }),
    ...(fixed ? {} : { fixed: "Say whether it is fixed and out of the way of damage." }),
  };
}

/** @param {string} one @param {string} other */
const isSame = (one, other) => one.trim().toLowerCase() === other.toLowerCase();

/**
 * @param {Answers} answers without problems
 * @param {string} kind what such a set is called, as a page begins with it
 * @returns {BodyDevice}
 */
export function setBody({ type = "", number = "", hots, fixed }, kind) {
  const marked = number.trim();
  return {
    name: `${kind} ${marked}`,
    type: /** @type {BodyDevice["type"]} */ (type),
    installed: null,
    number: marked,
    hots: hots === "2" ? 2 : 1,
    fixed: fixed === "yes",
    note: "",
  };
}
