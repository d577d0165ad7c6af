// Sums of what loads ask, kept up load by load, and whether a circuit carries them: told at once where it is clear, and
// by the circuit itself where the last bits of a sum decide. The twin of fieldlog/engine/planning/loading.py.
import { ampsToFit, figureOf, hungOn, nodeVolts, seenBy, startVolts } from "./plan-circuit.js";

/** @import { Branch, Leg, Load, Tables, Wire } from "./plan-circuit.js" */

/**
 * @typedef {object} Circuit one hot with all that hangs on it
 * @property {number} volts
 * @property {number} ohms
 * @property {number|null} limitAmps
 * @property {Tables} tables
 * @property {Branch[]} branches
 * @property {Wire[]} wires
 * @property {Leg} leg
 * @property {number} factor volts between the hots over those of one
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

/**
 * A load as a hot sees it, null where it hangs on the other. What hangs between the hots draws the same amps as a load
 * of this hot alone that is made for its share of the volts.
 * @param {Circuit} circuit
 * @param {Load} load
 * @returns {Load|null}
 */
export function ownOf({ leg, factor }, load) {
  if (load.leg !== "both") return load.leg === leg ? load : null;
  const rated = load.rated / factor;
  const isResistance = load.kind === "resistive";
  return {
    ...load,
    rated,
    siemens: isResistance ? load.amps / rated : 0,
    steadyWatts: isResistance ? 0 : load.amps * rated,
  };
}

/** @param {Circuit} circuit @param {Load[]} loads @returns {Load[]} those on a hot, as it sees them */
export const ownLoads = (circuit, loads) => loads.map((load) => ownOf(circuit, load)).filter((load) => load !== null);

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
  #drop;
  #dropAtStart;

  /** @param {Circuit} circuit @param {Load[]} loads all that may run, as the circuit sees them */
  constructor(circuit, loads) {
    this.#circuit = circuit;
    this.#low = figureOf(circuit.tables, "low-stop");
    this.#start = figureOf(circuit.tables, "start-least-volts");
    this.#drop = mostDrop(circuit, loads, this.#low, 0);
    this.#dropAtStart = mostDrop(circuit, loads, this.#start, 1);
  }

  /**
   * Whether loads run together; 1, -1, or 0 where only the circuit can tell.
   * @param {Sums} sums
   */
  tells(sums) {
    return this.#circuit.wires.length ? this.#tellsBehindWires(sums) : this.#tellsAtPanel(sums);
  }

  /**
   * By bounds: volts at the loads lie between their least and the source's.
   * @param {Sums} sums
   */
  #tellsBehindWires({ siemens, watts, siemensToFit, wattsToFit, start, branches }) {
    const { volts: open, ohms, limitAmps, branches: all } = this.#circuit;
    const low = this.#low;
    const amps = low * siemens + watts / open;
    if (ohms * amps > (open - low) * (1 + CLEAR)) return -1;
    let told = limitAmps === null ? 1 : this.#within(siemensToFit, wattsToFit, limitAmps);
    for (let at = 0; told >= 0 && at < all.length; at += 1)
      told = Math.min(told, this.#within(branches[2 * at] ?? 0, branches[2 * at + 1] ?? 0, all[at]?.amps ?? 0));
    if (told < 0) return -1;
    const above = low + this.#drop;
    if (ohms * (above * siemens + watts / low) > (open - above) * (1 - CLEAR)) return 0;
    if (start === NO_MOTOR) return told;
    const least = this.#start + this.#dropAtStart;
    const starting = least * siemens + watts / this.#start + start;
    return ohms * starting < (open - least) * (1 - CLEAR) ? told : 0;
  }

  /** @param {number} siemens @param {number} watts @param {number} most */
  #within(siemens, watts, most) {
    const { volts: open } = this.#circuit;
    if (this.#low * siemens + watts / open > most * (1 + CLEAR)) return -1;
    return open * siemens + watts / this.#low > most * (1 - CLEAR) ? 0 : 1;
  }

  /** @param {Sums} sums */
  #tellsAtPanel(sums) {
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

/**
 * What is lost in the wires to a load at most: all on, and all above some least volts.
 * @param {Circuit} circuit
 * @param {Load[]} loads
 * @param {number} least
 * @param {0|1} starts whether what it takes to start counts as well
 */
function mostDrop({ volts, wires }, loads, least, starts) {
  const amps = wires.map(() => 0);
  for (const { siemens, steadyWatts, startAmps, wire } of loads) {
    const drawn = volts * siemens + steadyWatts / least + starts * (startAmps ?? 0);
    for (let at = wire; at >= 0; at = wires[at]?.parent ?? -1) amps[at] = (amps[at] ?? 0) + drawn;
  }
  /** @type {number[]} */
  const lost = [];
  for (const [at, { ohms, parent }] of wires.entries()) lost.push((lost[parent] ?? 0) + ohms * (amps[at] ?? 0));
  return Math.max(0, ...lost);
}

/** Whether all of some loads run together. @param {Load[]} loads @param {Circuit} circuit */
export function carries(loads, { volts: open, ohms, limitAmps, tables, branches, wires }) {
  const at = nodeVolts(loads, open, ohms, wires);
  const low = figureOf(tables, "low-stop");
  if (at === null || (at[0] ?? 0) < low) return false;
  const seen = seenBy(loads, at);
  if (seen.some((volts) => volts < low)) return false;
  if (limitAmps !== null && ampsToFit(loads, seen, tables) > limitAmps) return false;
  for (const [number, { amps }] of branches.entries()) {
    const on = hungOn(loads, number);
    if (ampsToFit(on, seenBy(on, at), tables) > amps) return false;
  }
  const least = figureOf(tables, "start-least-volts");
  return loads.every((load) => {
    if (!load.isMotor) return true;
    const others = loads.filter((each) => each !== load);
    return (startVolts(load, others, open, ohms, wires) ?? 0) >= least;
  });
}
