// Whether the earth that is read to carries anything, told while it is read. The engine judges it for itself.
import { numberAt, textAt } from "./entries.js";
import { earthPairsOf, pairsOf } from "./pairs.js";

/** @import { Values } from "./entries.js" */

/** From which part of the full volts a reading to an earth proves it, and what makes volts full; own choices. */
const PROVES = 0.9;
const FULL_VOLTS = 90;

/**
 * @param {Values} values
 * @returns {string} whether what was read so far proves the earth; empty where nothing was read to it, and on a
 *   source that floats, where none can be proved
 */
export function earthSaid(values) {
  const { outlet, supply = "utility" } = values;
  const read = earthPairsOf(outlet).filter((pair) => numberAt(values, `volts.${pair}`) !== null);
  const full = highest(
    values,
    pairsOf(outlet).filter((pair) => pair !== "x-y"),
  );
  if (supply !== "utility" || !read.length || full < FULL_VOLTS) return "";
  const most = highest(values, read);
  if (most >= PROVES * full || isShared(values, full))
    return `Proved: ${most} V of ${full} V. What the other contacts read to this earth counts.`;
  const left = read.length < earthPairsOf(outlet).length ? "Read the other contacts to it too. " : "";
  return `Not proved: ${most} V of ${full} V. ${left}${UNTIL}`;
}

const UNTIL =
  "Until one contact reads nearly the full volts, a low reading to this earth shows nothing: scrape again, or take " +
  "other metal.";

/** @param {Values} values @param {string[]} pairs @returns {number} 0 where none was read */
const highest = (values, pairs) => Math.max(0, ...pairs.map((pair) => numberAt(values, `volts.${pair}`) ?? 0));

/**
 * Ground lies between: it and a hot contact read the full volts together.
 * @param {Values} values
 * @param {number} full
 */
function isShared(values, full) {
  const ground = numberAt(values, "volts.g-e");
  const hots = ["h", "x", "y"].filter((hot) => textAt(values, `volts.${hot}-e`));
  return ground !== null && hots.some((hot) => (numberAt(values, `volts.${hot}-e`) ?? 0) + ground >= PROVES * full);
}
