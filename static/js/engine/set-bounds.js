// What sets may come to at best, so that most are never looked at. The twin of fieldlog/engine/planning/set_bounds.py.
import { ownOf } from "./loading.js";
import { figureOf } from "./plan-circuit.js";

/** @import { Circuit } from "./loading.js" */
/** @import { Load } from "./plan-circuit.js" */

/** @typedef {{cost: number[], capacity: number, byWorth: number[]}} Limit the least that each load takes of it */

/** @typedef {{left: number[], kept: number[]}} Left what is left of each limit, and loads chosen by level */

/** A bound is widened by this share, so that no set is lost by the last bit of a sum. */
const ROUNDING = 1e-9;

export class Bounds {
  #loads;
  #level;
  #count;
  #limits;
  #cheapest;
  #heaviest;

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

  /** Of nothing chosen. @returns {Left} */
  whole() {
    return {
      left: this.#limits.map(({ capacity }) => capacity * (1 + ROUNDING)),
      kept: new Array(this.#count).fill(0),
    };
  }

  /** What is left once one more is chosen. @param {Left} before @param {number} place in the order @returns {Left} */
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
   * @param {Left} now
   * @param {number} watts of what is chosen
   * @param {{kept: number[], watts: number}} worst of the best
   */
  mayBeBetter(at, { left, kept }, watts, worst) {
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
    return heaviest >= least && this.#mostWatts(at, left, least) >= least;
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
   * @param {number[]} left of each limit
   * @param {number} least below which nobody asks
   */
  #mostWatts(at, left, least) {
    let most = Infinity;
    for (let i = 0; i < left.length; i += 1) {
      const { cost, byWorth } = /** @type {Limit} */ (this.#limits[i]);
      let rest = left[i] ?? 0;
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
  const toFit = own.map((load) =>
    load ? (least * load.siemens + load.steadyWatts / volts) * (load.isContinuous ? factor : 1) : 0,
  );
  const running = own.map((load) => (load ? low * load.siemens + load.steadyWatts / most : 0));
  return [
    ...(limitAmps === null ? [] : [limit(loads, toFit, limitAmps)]),
    ...(ohms > 0 ? [limit(loads, running, (volts - low) / ohms)] : []),
    ...branches.map(({ amps }, number) =>
      limit(
        loads,
        toFit.map((cost, at) => (loads[at]?.within.includes(number) ? cost : 0)),
        amps,
      ),
    ),
  ];
}

/** @param {Load[]} loads @param {number[]} cost @param {number} capacity @returns {Limit} */
function limit(loads, cost, capacity) {
  /** @param {number} at */
  const worth = (at) => (cost[at] ? (loads[at]?.watts ?? 0) / (cost[at] ?? 0) : Infinity);
  const byWorth = [...loads.keys()].sort((one, other) =>
    worth(other) > worth(one) ? 1 : worth(other) < worth(one) ? -1 : one - other,
  );
  return { cost, capacity, byWorth };
}
