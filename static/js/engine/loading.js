// Sums of what loads ask, kept up load by load, and whether a circuit carries them: told at once where it is clear, and
// by the circuit itself where the last bits of a sum decide. The twin of fieldlog/engine/planning/loading.py.
import { ampsToFit, figureOf, hungOn, startVolts, voltsWith } from "./plan-circuit.js";

/** @import { Branch, Load, Tables } from "./plan-circuit.js" */

/**
 * @typedef {{volts: number, ohms: number, limitAmps: number|null, tables: Tables, branches: Branch[]}} Circuit
 *
 * @typedef {object} Sums
 * @property {number} siemens
 * @property {number} watts steady
 * @property {number} siemensToFit what runs for hours counted with a quarter more
 * @property {number} wattsToFit likewise
 * @property {number} start the most that starting one of its motors adds, at the least volts for that [A]; below 0
 *   where there is none
 * @property {number[]} branches siemens and watts to fit, in turn, of each branch
 */

/** Nearer than this share to a limit the circuit itself is asked. */
const CLEAR = 1e-9;
const NO_MOTOR = -1e9;

/** @param {Circuit} circuit @returns {Sums} of no loads */
export const noSums = ({ branches }) => ({
  siemens: 0,
  watts: 0,
  siemensToFit: 0,
  wattsToFit: 0,
  start: NO_MOTOR,
  branches: branches.flatMap(() => [0, 0]),
});

/** @param {Load} load @param {Circuit} circuit @returns {Sums} of one load */
export function sumsOf({ siemens, steadyWatts, isContinuous, isMotor, startAmps, within }, { tables, branches }) {
  const factor = isContinuous ? figureOf(tables, "continuous-factor") : 1;
  const least = figureOf(tables, "start-least-volts");
  return {
    siemens,
    watts: steadyWatts,
    siemensToFit: siemens * factor,
    wattsToFit: steadyWatts * factor,
    start: isMotor ? (startAmps ?? 0) - (least * siemens + steadyWatts / least) : NO_MOTOR,
    branches: branches.flatMap((_, at) => (within.includes(at) ? [siemens * factor, steadyWatts * factor] : [0, 0])),
  };
}

/** @param {Sums} one @param {Sums} other @returns {Sums} */
export const added = (one, other) => ({
  siemens: one.siemens + other.siemens,
  watts: one.watts + other.watts,
  siemensToFit: one.siemensToFit + other.siemensToFit,
  wattsToFit: one.wattsToFit + other.wattsToFit,
  start: one.start > other.start ? one.start : other.start,
  branches: sum(one.branches, other.branches),
});

/** @param {number[]} one @param {number[]} other */
function sum(one, other) {
  const all = one.slice();
  for (let i = 0; i < all.length; i += 1) all[i] = (all[i] ?? 0) + (other[i] ?? 0);
  return all;
}

/**
 * 1 where a value is clearly within, -1 where it is clearly beyond, else 0.
 * @param {number} value
 * @param {number} most
 */
const side = (value, most) => (value > most * (1 + CLEAR) ? -1 : value < most * (1 - CLEAR) ? 1 : 0);

/** What a circuit needs volts for, read once. */
export class Carrier {
  #circuit;
  #low;
  #start;

  /** @param {Circuit} circuit */
  constructor(circuit) {
    this.#circuit = circuit;
    this.#low = figureOf(circuit.tables, "low-stop");
    this.#start = figureOf(circuit.tables, "start-least-volts");
  }

  /**
   * Whether loads run together; 1, -1, or 0 where only the circuit can tell.
   * @param {Sums} sums
   */
  tells(sums) {
    const { volts: open, ohms, limitAmps, branches } = this.#circuit;
    const { siemens, watts, siemensToFit, wattsToFit, start } = sums;
    let least = this.#byVolts(siemens, watts, start);
    if (least < 0) return -1;
    const scale = 1 + ohms * siemens;
    const volts = (open + Math.sqrt(open * open - 4 * scale * ohms * watts)) / (2 * scale);
    if (limitAmps !== null) least = Math.min(least, side(volts * siemensToFit + wattsToFit / volts, limitAmps));
    for (let at = 0; least >= 0 && at < branches.length; at += 1) {
      const amps = volts * (sums.branches[2 * at] ?? 0) + (sums.branches[2 * at + 1] ?? 0) / volts;
      least = Math.min(least, side(amps, branches[at]?.amps ?? 0));
    }
    return least;
  }

  /**
   * What loads draw at the least volts is what the ohms let through there, or less: then the volts are no lower.
   * @param {number} siemens
   * @param {number} watts
   * @param {number} start
   */
  #byVolts(siemens, watts, start) {
    const { volts: open, ohms } = this.#circuit;
    const [low, least] = [this.#low, this.#start];
    if (ohms === 0) return open < low || (start > NO_MOTOR && open < least) ? -1 : 1;
    const running = side(low * siemens + watts / low, (open - low) / ohms);
    if (running < 0 || start === NO_MOTOR) return running;
    return Math.min(running, side(least * siemens + watts / least + start, (open - least) / ohms));
  }
}

/** Whether all of some loads run together. @param {Load[]} loads @param {Circuit} circuit */
export function carries(loads, { volts: open, ohms, limitAmps, tables, branches }) {
  const volts = voltsWith(loads, open, ohms);
  if (volts === null || volts < figureOf(tables, "low-stop")) return false;
  if (limitAmps !== null && ampsToFit(loads, volts, tables) > limitAmps) return false;
  if (branches.some(({ amps }, at) => ampsToFit(hungOn(loads, at), volts, tables) > amps)) return false;
  const least = figureOf(tables, "start-least-volts");
  return loads.every((load) => {
    if (!load.isMotor) return true;
    const others = loads.filter((each) => each !== load);
    return (startVolts(load, others, open, ohms) ?? 0) >= least;
  });
}
