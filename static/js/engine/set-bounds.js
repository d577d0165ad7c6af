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
  /** @type {number[][]} what is left of each limit, by how many are chosen */
  #left;
  /** @type {number[][]} loads chosen by level, by how many are chosen */
  #kept;
  /** @type {number[]} what is left of each limit while levels are counted */
  #free;
  /** @type {number[]} watts of all from a place on */
  #watts = [];

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
    this.#left = Array.from({ length: loads.length + 1 }, () =>
      this.#limits.map(({ capacity }) => capacity * (1 + ROUNDING)),
    );
    this.#kept = this.#left.map(() => new Array(this.#count).fill(0));
    this.#free = this.#limits.map(() => 0);
    this.#watts = [...loads, { watts: 0 }].map((_, at) => loads.slice(at).reduce((sum, { watts }) => sum + watts, 0));
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
      const level = this.#level[at];
      const own = sorted[level];
      insert(own, values[at], sign);
      sums = sums.slice();
      sums[level] = runningSums(own);
      found.push(sums);
    }
    return found.reverse();
  }

  /** One more is chosen. @param {number} place in the order @param {number} depth how many are chosen before it */
  choose(place, depth) {
    const [before, after] = [this.#left[depth], this.#left[depth + 1]];
    for (let i = 0; i < after.length; i += 1) after[i] = before[i] - this.#limits[i].cost[place];
    const [kept, more] = [this.#kept[depth], this.#kept[depth + 1]];
    for (let level = 0; level < more.length; level += 1) more[level] = kept[level];
    more[this.#level[place]] += 1;
  }

  /**
   * Whether what is still to come may end among the best.
   * @param {number} at
   * @param {number} depth how many are chosen
   * @param {number[]} chosen places in the order, up to the depth
   * @param {number} watts of what is chosen
   * @param {{kept: number[], watts: number}} worst of the best
   */
  mayBeBetter(at, depth, chosen, watts, worst) {
    const free = this.#free;
    const left = this.#left[depth];
    for (let i = 0; i < free.length; i += 1) free[i] = left[i];
    const kept = this.#kept[depth];
    let heavy = 0;
    for (let level = 0; level < this.#count; level += 1) {
      const wanted = worst.kept[level] - kept[level];
      const most = this.#mostAdded(at, level, free);
      if (most !== wanted) return most > wanted;
      for (let i = 0; i < free.length; i += 1) free[i] -= this.#cheapest[i][at][level][most];
      heavy += this.#heaviest[at][level][most];
    }
    const least = worst.watts * (1 - ROUNDING) - watts;
    return heavy >= least && this.#mostWatts(at, depth, chosen, least, worst.watts * (1 - ROUNDING)) >= least;
  }

  /**
   * Whether what is chosen with all from a place on is clearly worse than the worst of the best.
   * @param {number} at
   * @param {number} depth
   * @param {number} watts of what is chosen
   * @param {{kept: number[], watts: number}} worst
   */
  isWorse(at, depth, watts, worst) {
    for (let level = 0; level < this.#count; level += 1) {
      const all = this.#kept[depth][level] + this.#heaviest[at][level].length - 1;
      if (all !== worst.kept[level]) return all < worst.kept[level];
    }
    return watts + this.#watts[at] < worst.watts * (1 - ROUNDING);
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
    let most = this.#heaviest[at][level].length - 1;
    for (let i = 0; i < free.length; i += 1) {
      const own = this.#cheapest[i][at][level];
      while (most > 0 && own[most] > free[i]) most -= 1;
    }
    return most;
  }

  /**
   * How many watts may fit at most: those of most watts an amp first, by each limit alone.
   * @param {number} at
   * @param {number} depth
   * @param {number[]} chosen places in the order, up to the depth
   * @param {number} least below which nobody asks
   * @param {number} wanted watts in all
   */
  #mostWatts(at, depth, chosen, least, wanted) {
    let most = Infinity;
    for (const { cost, capacity, byWorth } of this.#sharpened(wanted)) {
      let rest = capacity * (1 + ROUNDING);
      for (let i = 0; i < depth; i += 1) rest -= cost[chosen[i]];
      if (rest < 0) return -Infinity;
      let watts = 0;
      for (const place of byWorth) {
        if (place < at) continue;
        const own = cost[place];
        const each = this.#loads[place].watts;
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
  while (at > 0 && sign * (sorted[at - 1] - value) > 0) at -= 1;
  sorted.splice(at, 0, value);
}

/** @param {number[]} values */
function runningSums(values) {
  const sums = [0];
  for (let i = 0; i < values.length; i += 1) sums.push(sums[i] + values[i]);
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
  const fixed = own.map((load, at) => (load ? least * load.siemens * factors[at] : 0));
  const falling = own.map((load, at) => (load ? load.steadyWatts * factors[at] : 0));
  let aWatt = Infinity;
  for (const [at, load] of own.entries()) {
    const amps = load ? least * load.siemens + load.steadyWatts / volts : 0;
    aWatt = Math.min(aWatt, amps / loads[at].watts);
  }
  const sinking = { volts, voltsAWatt: ohms * aWatt };
  const running = own.map((load) => (load ? low * load.siemens + load.steadyWatts / most : 0));
  const none = loads.map(() => 0);
  return [
    ...(limitAmps === null ? [] : [limit(loads, fixed, falling, limitAmps, sinking)]),
    ...(ohms > 0 ? [limit(loads, running, none, (volts - low) / ohms, sinking)] : []),
    ...branches.map(({ amps }, number) => {
      /** @param {number[]} parts */
      const onIt = (parts) => parts.map((each, at) => (loads[at].within.includes(number) ? each : 0));
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
  const cost = fixed.map((each, at) => each + falling[at] / sinking.volts);
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
  const cost = known.fixed.map((each, at) => each + known.falling[at] / volts);
  return { ...known, cost, byWorth: byWorthOf(loads, cost, known.byWorth) };
}

/** @param {Load[]} loads @param {number[]} cost @param {number[]} [order] that is nearly theirs */
function byWorthOf(loads, cost, order = [...loads.keys()]) {
  const worth = cost.map((own, at) => (own ? loads[at].watts / own : Infinity));
  /** @param {number} at */
  const of = (at) => worth[at];
  return order.slice().sort((one, other) => (of(other) > of(one) ? 1 : of(other) < of(one) ? -1 : one - other));
}
