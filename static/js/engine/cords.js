// How far a cord of each gauge reaches until loads get too few volts. The twin of fieldlog/engine/planning/cords.py.
import { CORD_GAUGES } from "./part-kinds.js";
import { ampsAt, figureOf, voltsWith } from "./plan-circuit.js";
import { together } from "./plan-legs.js";

/** @import { Load, Tables } from "./plan-circuit.js" */
/** @import { OtherHot } from "./plan-legs.js" */

/** @typedef {{awg: number, feet: number, carries: boolean, leg: "x"|"y"}} Reach leg: the one that binds */

/** A search ends where ohms are known to this share of them. */
const NARROW = 1e-9;
const MOST_OHMS = 1e6;
const LEGS = /** @type {const} */ (["x", "y"]);

/**
 * How long a cord of each gauge may be, the thinnest first; nothing where the loads draw nothing.
 * @param {Load[]} loads at its end
 * @param {{volts: number, other?: OtherHot|null, ohms: number, least_volts: number}} circuit of all before the cord,
 *   and what is to be left
 * @param {Tables} tables
 */
export function cordReach(loads, { volts, other = null, ohms, least_volts: least }, tables) {
  const before = ohms + 2 * figureOf(tables, "contact-ohms");
  const share = figureOf(tables, "neutral-share");
  const column = other && other.cosine > -1 ? "cord-three" : "cord-two";
  /** @type {Reach[]} */
  let found = [];
  for (const leg of other ? LEGS : LEGS.slice(0, 1)) {
    const own = other ? loads.filter((load) => load.leg === leg || load.leg === "both") : loads;
    /** @param {number} loop */
    const voltsAt = (loop) => {
      if (!other) return voltsWith(own, volts, loop) ?? 0;
      const neutral = share * loop;
      return together(own, volts, other, { hot: loop - neutral, neutral }, [])?.volts[LEGS.indexOf(leg)] ?? 0;
    };
    const amps = mostAmps(own, least, Math.max(least, voltsAt(before)), other?.factor ?? 1, tables);
    if (amps <= 0) continue;
    const free = mostOhms(voltsAt, least, before) - before;
    found = CORD_GAUGES.map((awg, at) => {
      const feet = (1000 * free) / (2 * figureOf(tables, `ohms-stranded-${awg}`));
      const carries = amps <= figureOf(tables, `${column}-${awg}`);
      const known = found[at];
      if (known && known.feet <= feet) return { ...known, carries: known.carries && carries };
      return { awg, feet, carries: carries && (known?.carries ?? true), leg };
    });
  }
  return found;
}

/**
 * The ohms of the loop at which the least volts are just left, by halving.
 * @param {(ohms: number) => number} voltsAt
 * @param {number} least
 * @param {number} before
 */
function mostOhms(voltsAt, least, before) {
  let [low, high] = [before, 2 * before + 1];
  while (voltsAt(high) >= least && high < MOST_OHMS) high = 2 * high;
  while (high - low > NARROW * high) {
    const middle = (low + high) / 2;
    if (voltsAt(middle) < least) high = middle;
    else low = middle;
  }
  return low;
}

/**
 * What a cord has to carry, each load at the one of two volts at which it draws more.
 * @param {Load[]} loads
 * @param {number} low
 * @param {number} high
 * @param {number} factor volts between the hots over those of one
 * @param {Tables} tables
 */
function mostAmps(loads, low, high, factor, tables) {
  let amps = 0;
  for (const load of loads) {
    const times = load.leg === "both" ? factor : 1;
    const drawn = ampsAt(load, (load.kind === "resistive" ? high : low) * times);
    amps += drawn * (load.isContinuous ? figureOf(tables, "continuous-factor") : 1);
  }
  return amps;
}
