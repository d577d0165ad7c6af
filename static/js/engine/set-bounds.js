// What sets may come to at best, so that most are never looked at. The twin of fieldlog/engine/planning/set_bounds.py.
import { ownOf } from "./loading.js";
import { figureOf } from "./plan-circuit.js";

/** @import { Circuit } from "./loading.js" */
/** @import { Load } from "./plan-circuit.js" */

/**
 * @typedef {object} Limit the least that each load takes of it: a part that is fixed and one that falls with the volts
 * @property {number[]} cost
 * @property {number} capacity
 * @property {number[]} byWorth loads of most watts for it first
 * @property {number[]} fixed
 * @property {number[]} falling
 * @property {number} volts of the source
 * @property {number} voltsAWatt by so much the volts are lower for each watt that runs, at least
 */

/** @typedef {{left: number[], kept: number[]}} Remainder what is left of each limit, and loads chosen by level */

/** A bound is widened by this share, so that no set is lost by the last bit of a sum. */
const ROUNDING = 1e-9;

export class Bounds {
  #loads;
  #level;
  #count;
  #limits;
  #cheapest;
  #heaviest;
  /** @type {{watts: number, limits: Limit[]}} */
  #sharp;

  /**
   * @param {Load[]} loads in the order of the search
   * @param {number[]} levels priorities, ascending
   * @param {Circuit[]} circuits hot by hot
   */
  constructor(loads, levels, circuits) {
    this.#loads = loads;
    this.#level = loads.map(({ priority }) => levels.indexOf(priority));
    this.#count = levels.length;
    this.#limits = circuits.flatMap((circuit) => limitsOf(loads, circuit));
    this.#sharp = { watts: 0, limits: this.#limits };
    this.#cheapest = this.#limits.map(({ cost }) => this.#sortedFrom(cost, 1));
    this.#heaviest = this.#sortedFrom(
      loads.map(({ watts }) => watts),
      -1,
    );
  }

  /**
   * Sums of the first values in order, by place, level and how many. From one place to the one before it only the
   * level of that one has more.
   * @param {number[]} values
   * @param {1|-1} sign ascending or descending
   * @returns {number[][][]}
   */
  #sortedFrom(values, sign) {
    /** @type {number[][]} */
    const sorted = Array.from({ length: this.#count }, () => []);
    let sums = sorted.map(() => [0]);
    const found = [sums];
    for (let at = values.length - 1; at >= 0; at -= 1) {
      const level = this.#level[at] ?? 0;
      const own = /** @type {number[]} */ (sorted[level]);
      insert(own, values[at] ?? 0, sign);
      sums = sums.slice();
      sums[level] = runningSums(own);
      found.push(sums);
    }
    return found.reverse();
  }

  /** Of nothing chosen. @returns {Remainder} */
  whole() {
    return {
      left: this.#limits.map(({ capacity }) => capacity * (1 + ROUNDING)),
      kept: new Array(this.#count).fill(0),
    };
  }

  /**
   * What is left once one more is chosen.
   * @param {Remainder} before
   * @param {number} place in the order
   * @returns {Remainder}
   */
  without(before, place) {
    const left = before.left.slice();
    for (let i = 0; i < left.length; i += 1) left[i] = (left[i] ?? 0) - (this.#limits[i]?.cost[place] ?? 0);
    const kept = before.kept.slice();
    const level = this.#level[place] ?? 0;
    kept[level] = (kept[level] ?? 0) + 1;
    return { left, kept };
  }

  /**
   * Whether what is still to come may end among the best.
   * @param {number} at
   * @param {Remainder} now
   * @param {number[]} chosen places in the order
   * @param {number} watts of what is chosen
   * @param {{kept: number[], watts: number}} worst of the best
   */
  mayBeBetter(at, { left, kept }, chosen, watts, worst) {
    const free = left.slice();
    let heaviest = 0;
    for (let level = 0; level < this.#count; level += 1) {
      const wanted = (worst.kept[level] ?? 0) - (kept[level] ?? 0);
      const most = this.#mostAdded(at, level, free);
      if (most !== wanted) return most > wanted;
      for (let i = 0; i < free.length; i += 1)
        free[i] = (free[i] ?? 0) - (this.#cheapest[i]?.[at]?.[level]?.[most] ?? 0);
      heaviest += this.#heaviest[at]?.[level]?.[most] ?? 0;
    }
    const least = worst.watts * (1 - ROUNDING) - watts;
    return heaviest >= least && this.#mostWatts(at, chosen, least, worst.watts * (1 - ROUNDING)) >= least;
  }

  /** For sets of so many watts at least: these draw so much that the volts sink. @param {number} watts */
  #sharpened(watts) {
    if (watts !== this.#sharp.watts)
      this.#sharp = { watts, limits: this.#limits.map((each) => sharpened(each, this.#loads, watts)) };
    return this.#sharp.limits;
  }

  /**
   * How many of a level may fit at most: the cheapest first, by each limit alone.
   * @param {number} at
   * @param {number} level
   * @param {number[]} free of each limit
   */
  #mostAdded(at, level, free) {
    let most = (this.#heaviest[at]?.[level]?.length ?? 1) - 1;
    for (let i = 0; i < free.length; i += 1) {
      const own = this.#cheapest[i]?.[at]?.[level] ?? [0];
      while (most > 0 && (own[most] ?? 0) > (free[i] ?? 0)) most -= 1;
    }
    return most;
  }

  /**
   * How many watts may fit at most: those of most watts an amp first, by each limit alone.
   * @param {number} at
   * @param {number[]} chosen places in the order
   * @param {number} least below which nobody asks
   * @param {number} wanted watts in all
   */
  #mostWatts(at, chosen, least, wanted) {
    let most = Infinity;
    for (const { cost, capacity, byWorth } of this.#sharpened(wanted)) {
      let rest = capacity * (1 + ROUNDING);
      for (const place of chosen) rest -= cost[place] ?? 0;
      if (rest < 0) return -Infinity;
      let watts = 0;
      for (const place of byWorth) {
        if (place < at) continue;
        const own = cost[place] ?? 0;
        const each = this.#loads[place]?.watts ?? 0;
        if (own > rest) {
          watts += (rest / own) * each;
          break;
        }
        watts += each;
        rest -= own;
      }
      most = Math.min(most, watts);
      if (most < least) return most;
    }
    return most;
  }
}

/** @param {number[]} sorted @param {number} value @param {1|-1} sign */
function insert(sorted, value, sign) {
  let at = sorted.length;
  while (at > 0 && sign * ((sorted[at - 1] ?? 0) - value) > 0) at -= 1;
  sorted.splice(at, 0, value);
}

/** @param {number[]} values */
function runningSums(values) {
  const sums = [0];
  for (let i = 0; i < values.length; i += 1) sums.push((sums[i] ?? 0) + (values[i] ?? 0));
  return sums;
}

/**
 * For each limit the least that each load takes of it, and how much there is. Where a set runs, the volts lie between
 * the least that loads need, or that the limit leaves, and those of the source.
 * @param {Load[]} loads
 * @param {Circuit} circuit
 * @returns {Limit[]}
 */
function limitsOf(loads, circuit) {
  const { volts, ohms, limitAmps, tables, branches, wires } = circuit;
  const low = figureOf(tables, "low-stop");
  const factor = figureOf(tables, "continuous-factor");
  const least = limitAmps === null || wires.length ? low : Math.max(low, volts - ohms * limitAmps);
  const most = wires.length ? volts : low;
  const own = loads.map((load) => ownOf(circuit, load));
  const factors = loads.map(({ isContinuous }) => (isContinuous ? factor : 1));
  const fixed = own.map((load, at) => (load ? least * load.siemens * (factors[at] ?? 1) : 0));
  const falling = own.map((load, at) => (load ? load.steadyWatts * (factors[at] ?? 1) : 0));
  let aWatt = Infinity;
  for (const [at, load] of own.entries()) {
    const amps = load ? least * load.siemens + load.steadyWatts / volts : 0;
    aWatt = Math.min(aWatt, amps / (loads[at]?.watts ?? 0));
  }
  const sinking = { volts, voltsAWatt: ohms * aWatt };
  const running = own.map((load) => (load ? low * load.siemens + load.steadyWatts / most : 0));
  const none = loads.map(() => 0);
  return [
    ...(limitAmps === null ? [] : [limit(loads, fixed, falling, limitAmps, sinking)]),
    ...(ohms > 0 ? [limit(loads, running, none, (volts - low) / ohms, sinking)] : []),
    ...branches.map(({ amps }, number) => {
      /** @param {number[]} parts */
      const onIt = (parts) => parts.map((each, at) => (loads[at]?.within.includes(number) ? each : 0));
      return limit(loads, onIt(fixed), onIt(falling), amps, sinking);
    }),
  ];
}

/**
 * @param {Load[]} loads
 * @param {number[]} fixed
 * @param {number[]} falling
 * @param {number} capacity
 * @param {{volts: number, voltsAWatt: number}} sinking
 * @returns {Limit}
 */
function limit(loads, fixed, falling, capacity, sinking) {
  const cost = fixed.map((each, at) => each + (falling[at] ?? 0) / sinking.volts);
  return { cost, capacity, byWorth: byWorthOf(loads, cost), fixed, falling, ...sinking };
}

/**
 * A limit as it is where at least some watts run: the volts are lower, and what falls with them is more.
 * @param {Limit} known
 * @param {Load[]} loads
 * @param {number} wanted
 * @returns {Limit}
 */
function sharpened(known, loads, wanted) {
  const volts = known.volts - known.voltsAWatt * wanted;
  if (volts <= 0) return known;
  const cost = known.fixed.map((each, at) => each + (known.falling[at] ?? 0) / volts);
  return { ...known, cost, byWorth: byWorthOf(loads, cost) };
}

/** @param {Load[]} loads @param {number[]} cost */
function byWorthOf(loads, cost) {
  const worth = cost.map((own, at) => (own ? (loads[at]?.watts ?? 0) / own : Infinity));
  /** @param {number} at */
  const of = (at) => worth[at] ?? 0;
  return [...loads.keys()].sort((one, other) => (of(other) > of(one) ? 1 : of(other) < of(one) ? -1 : one - other));
}
