// How far a cord of each gauge reaches until loads get too few volts. The twin of fieldlog/engine/planning/cords.py.
import { CORD_GAUGES } from "./part-kinds.js";
import { ampsOf, ampsToFit, figureOf } from "./plan-circuit.js";

/** @import { Load, Tables } from "./plan-circuit.js" */

/** @typedef {{awg: number, feet: number, carries: boolean}} Reach */

/**
 * How long a cord of each gauge may be, the thinnest first; nothing where the loads draw nothing.
 * @param {Load[]} loads at its end
 * @param {{volts: number, ohms: number, least_volts: number}} circuit of all before the cord, and what is to be left
 * @param {Tables} tables
 * @returns {Reach[]}
 */
export function cordReach(loads, { volts, ohms, least_volts: least }, tables) {
  const seen = loads.map(() => least);
  const amps = ampsOf(loads, seen);
  if (amps <= 0) return [];
  const asked = ampsToFit(loads, seen, tables);
  const free = (volts - least) / amps - ohms - 2 * figureOf(tables, "contact-ohms");
  return CORD_GAUGES.map((awg) => ({
    awg,
    feet: free > 0 ? (1000 * free) / (2 * figureOf(tables, `ohms-stranded-${awg}`)) : 0,
    carries: asked <= figureOf(tables, `cord-two-${awg}`),
  }));
}
