// The newest noted end of each alarm and of the extinguisher. The Python twin is ends_of in fieldlog/reports/looks.py.

/** @import { Rig } from "./rig-of.js" */

/**
 * @param {Rig} rig
 * @returns {Record<string, string>} months by what they stand on
 */
export function endsOf(rig) {
  const oldestFirst = rig.newest("look").reverse();
  return Object.assign({}, ...oldestFirst.map(({ body }) => body.ends ?? {}));
}
