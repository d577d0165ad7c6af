// Whether the earth that is read to carries anything, told while it is read: by the engine's own rule.
import { numberAt } from "./entries.js";
import { earthPairsOf, pairsOf } from "./pairs.js";

/** @import { Values } from "./entries.js" */
/** @typedef {Record<string, number>} Volts by pair */

const UNTIL =
  "Until one contact reads nearly the full volts, a low reading to this earth shows nothing: scrape again, or take " +
  "other metal.";

/**
 * @param {Values} values
 * @param {number} fullVolts from which two contacts show a supply
 * @param {(check: {outlet: string, supply: string, volts: Volts}) => boolean} proves the engine's rule
 * @returns {string} whether what was read so far proves the earth; empty where nothing was read to it, and on a
 *   source that floats, where none can be proved
 */
export function earthSaid(values, fullVolts, proves) {
  const { outlet = "", supply = "utility" } = values;
  const bare = readAt(values, pairsOf(outlet));
  const earth = readAt(values, earthPairsOf(outlet));
  const { "x-y": _, ...toNeutralOrGround } = bare;
  const full = highest(toNeutralOrGround);
  const read = Object.keys(earth).length;
  if (supply !== "utility" || !read || full < fullVolts) return "";
  const most = highest(earth);
  if (proves({ outlet, supply, volts: { ...bare, ...earth } }))
    return `Proved: ${most} V of ${full} V. What the other contacts read to this earth counts.`;
  const left = read < earthPairsOf(outlet).length ? "Read the other contacts to it too. " : "";
  return `Not proved: ${most} V of ${full} V. ${left}${UNTIL}`;
}

/** @param {Values} values @param {string[]} pairs @returns {Volts} of those that were read */
const readAt = (values, pairs) =>
  Object.fromEntries(
    pairs.flatMap((pair) => {
      const volts = numberAt(values, `volts.${pair}`);
      return volts === null ? [] : [[pair, volts]];
    }),
  );

/** @param {Volts} volts @returns {number} 0 where none was read */
const highest = (volts) => Math.max(0, ...Object.values(volts));
