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
 * @typedef {number[]} Sums siemens; steady watts; siemens and watts to fit, what runs for hours counted with a quarter
 *   more; the most that starting one of its motors adds, at the least volts for that [A], below 0 where there is none;
 *   then siemens and watts to fit, in turn, of each branch
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
export const noSums = ({ branches }) => [0, 0, 0, 0, NO_MOTOR, ...branches.flatMap(() => [0, 0])];

/** @param {Load} load @param {Circuit} circuit @returns {Sums} of one load */
export function sumsOf({ siemens, steadyWatts, isContinuous, isMotor, startAmps, within }, { tables, branches }) {
  const factor = isContinuous ? figureOf(tables, "continuous-factor") : 1;
  const least = figureOf(tables, "start-least-volts");
  const toFit = [siemens * factor, steadyWatts * factor];
  const start = isMotor ? (startAmps ?? 0) - (least * siemens + steadyWatts / least) : NO_MOTOR;
  const onBranches = branches.flatMap((_, at) => (within.includes(at) ? toFit : [0, 0]));
  return [siemens, steadyWatts, ...toFit, start, ...onBranches];
}

const START = 4;
const BRANCHES = 5;

/** Sums of two lots of loads. @param {Sums} into @param {Sums} one @param {Sums} other */
export function add(into, one, other) {
  const start = Math.max(one[START], other[START]);
  for (let i = 0; i < into.length; i += 1) into[i] = one[i] + other[i];
  into[START] = start;
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
    this.#drop = mostDrop(circuit, loads, this.#low, this.#low);
    this.#dropAtStart = mostDrop(circuit, loads, this.#start, this.#low);
  }

  /**
   * Whether loads run together; 1, -1, or 0 where only the circuit can tell.
   * @param {Sums} sums
   */
  tells(sums) {
    return this.#circuit.wires.length ? this.#tellsBehindWires(sums) : this.#tellsAtPanel(sums);
  }

  /**
   * By bounds: no where not even what is drawn at least leaves the least volts and amps, yes where what is drawn at
   * most does; else only the circuit can tell.
   * @param {Sums} sums
   */
  #tellsBehindWires(sums) {
    const { volts: open, ohms, limitAmps, branches: all } = this.#circuit;
    const [siemens, watts, siemensToFit, wattsToFit, start] = sums;
    const low = this.#low;
    const least = low * siemens + watts / open;
    if (ohms * least > (open - low) * (1 + CLEAR)) return -1;
    const most = open - ohms * least;
    const below = Math.max(low, open - ohms * (open * siemens + watts / low) - this.#drop);
    let told = limitAmps === null ? 1 : between(siemensToFit, wattsToFit, limitAmps, below, most);
    for (let at = 0; told >= 0 && at < all.length; at += 1) {
      const i = BRANCHES + 2 * at;
      told = Math.min(told, between(sums[i], sums[i + 1], all[at].amps, below, most));
    }
    if (told < 0) return -1;
    const above = low + this.#drop;
    if (ohms * (above * siemens + watts / low) > (open - above) * (1 - CLEAR)) return 0;
    if (start === NO_MOTOR) return told;
    const starting = this.#start + this.#dropAtStart;
    const amps = starting * siemens + watts / this.#start + start;
    return ohms * amps < (open - starting) * (1 - CLEAR) ? told : 0;
  }

  /** @param {Sums} sums */
  #tellsAtPanel(sums) {
    const { volts: open, ohms, limitAmps, branches } = this.#circuit;
    const [siemens, watts, siemensToFit, wattsToFit, start] = sums;
    let least = this.#byVolts(siemens, watts, start);
    if (least < 0) return -1;
    const scale = 1 + ohms * siemens;
    const volts = (open + Math.sqrt(open * open - 4 * scale * ohms * watts)) / (2 * scale);
    if (limitAmps !== null) least = Math.min(least, side(volts * siemensToFit + wattsToFit / volts, limitAmps));
    for (let at = 0; least >= 0 && at < branches.length; at += 1) {
      const i = BRANCHES + 2 * at;
      least = Math.min(least, side(volts * sums[i] + sums[i + 1] / volts, branches[at].amps));
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
 * What is lost in the wires to a load at most: all on, though no more than a wire's branch lets through, all above some
 * least volts, and one of them starting.
 * @param {Circuit} circuit
 * @param {Load[]} loads
 * @param {number} least
 * @param {number} low at which a branch's amps are judged
 */
function mostDrop({ volts, wires }, loads, least, low) {
  const amps = wires.map(() => 0);
  const starts = wires.map(() => 0);
  for (const { siemens, steadyWatts, startAmps, wire } of loads) {
    const drawn = volts * siemens + steadyWatts / least;
    for (let at = wire; at >= 0; at = wires[at].parent) {
      amps[at] += drawn;
      if (least < low) starts[at] = Math.max(starts[at], startAmps ?? 0);
    }
  }
  /** @type {number[]} */
  const lost = [];
  for (const [at, { ohms, parent, amps: rating }] of wires.entries()) {
    const most = Math.min(amps[at], (rating * low) / least) + starts[at];
    lost.push((lost[parent] ?? 0) + ohms * most);
  }
  return Math.max(0, ...lost);
}

/**
 * Whether amps stay within a rating while the volts lie between two others: 1, -1, or 0 where that does not tell.
 * @param {number} siemens
 * @param {number} watts
 * @param {number} rating
 * @param {number} below
 * @param {number} above
 */
function between(siemens, watts, rating, below, above) {
  if (below * siemens + watts / above > rating * (1 + CLEAR)) return -1;
  return above * siemens + watts / below > rating * (1 - CLEAR) ? 0 : 1;
}

/** Whether all of some loads run together. @param {Load[]} loads @param {Circuit} circuit */
export function carries(loads, { volts: open, ohms, limitAmps, tables, branches, wires }) {
  const at = nodeVolts(loads, open, ohms, wires);
  const low = figureOf(tables, "low-stop");
  if (at === null || at[0] < low) return false;
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
