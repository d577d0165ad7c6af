// Which loads run together: the best sets that cannot take one more. The twin of fieldlog/engine/planning/together.py.
import { ampsToFit, figureOf, hungOn, startVolts, voltsWith } from "./plan-circuit.js";

/** @import { Branch, Load, Tables } from "./plan-circuit.js" */

/**
 * @typedef {{volts: number, ohms: number, limitAmps: number|null, tables: Tables, branches: Branch[]}} Circuit
 * @typedef {{places: number[], kept: number[], watts: number}} Ranked
 * @typedef {{cost: number[], capacity: number}} Cost the least that each load takes of a limit
 */

// A bound is widened by this share, so that no set is lost by the last bit of a sum.
const ROUNDING = 1e-9;

/**
 * The best sets of loads that run together and cannot take one more. Of two the one that keeps more loads of priority 1
 * is better, then of priority 2 and so on; then the one of more watts; then the one whose loads stand earlier.
 * @param {Load[]} loads
 * @param {Circuit} circuit
 */
export function togetherOf(loads, circuit) {
  if (circuit.volts > figureOf(circuit.tables, "high-stop") || !loads.length)
    return { best: /** @type {Load[][]} */ ([]), isExact: true };
  const search = new Search(loads, circuit);
  search.look(0, []);
  return { best: search.best.map(({ places }) => search.of(places)), isExact: !search.isCut };
}

/** @param {Load[]} loads @param {Circuit} circuit */
function carries(loads, { volts: open, ohms, limitAmps, tables, branches }) {
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

class Search {
  /** @type {Ranked[]} */
  best = [];
  isCut = false;
  #steps = 0;
  #loads;
  #circuit;
  #groups;
  #levels;
  #most;
  #mostSteps;
  #costs;

  /** @param {Load[]} loads @param {Circuit} circuit */
  constructor(loads, circuit) {
    const { tables } = circuit;
    this.#loads = loads;
    this.#circuit = circuit;
    this.#groups = alike(loads);
    this.#levels = [...new Set(loads.map(({ priority }) => priority))].sort((one, other) => one - other);
    this.#most = figureOf(tables, "sets-shown");
    const isMany = loads.length > figureOf(tables, "sets-exact-loads");
    this.#mostSteps = isMany ? figureOf(tables, "sets-most-steps") : Infinity;
    this.#costs = costsOf(loads, circuit);
  }

  /** Tries every number of each group of loads alike, most first. @param {number} at @param {number[]} chosen */
  look(at, chosen) {
    this.#steps += 1;
    if (this.#steps > this.#mostSteps) {
      this.isCut = true;
      return;
    }
    if (!this.#carries(chosen) || this.#endsShort(at, chosen) || !this.#mayBeBetter(at, chosen)) return;
    const group = this.#groups[at];
    if (!group) {
      this.#keep(chosen);
      return;
    }
    for (let count = group.length; count >= 0; count -= 1)
      this.look(at + 1, [...chosen, ...group.slice(0, count)].sort(ascending));
  }

  /** @param {number[]} places */
  #carries(places) {
    return carries(this.of(places), this.#circuit);
  }

  /**
   * Whether something was left out that fits even with all that is still to come.
   * @param {number} at
   * @param {number[]} chosen
   */
  #endsShort(at, chosen) {
    const most = [...chosen, ...this.#rest(at)].sort(ascending);
    if (most.length === this.#loads.length || !this.#carries(most)) return false;
    const leftOut = this.#groups
      .slice(0, at)
      .flatMap((group) => group.slice(-1).filter((last) => !chosen.includes(last)));
    return leftOut.some((place) => this.#carries([...most, place].sort(ascending)));
  }

  /** @param {number} at */
  #rest(at) {
    return this.#groups.slice(at).flat();
  }

  /** @param {number[]} places */
  of(places) {
    return places.map((place) => this.#load(place));
  }

  /** @param {number} place */
  #load(place) {
    return /** @type {Load} */ (this.#loads[place]);
  }

  /** Keeps a set among the best, unless it can take one more. @param {number[]} chosen */
  #keep(chosen) {
    for (const group of this.#groups) {
      const more = group.find((place) => !chosen.includes(place));
      if (more !== undefined && this.#carries([...chosen, more].sort(ascending))) return;
    }
    this.best.push(this.#ranked(chosen));
    this.best.sort(order);
    this.best.splice(this.#most);
  }

  /** @param {number[]} places @returns {Ranked} */
  #ranked(places) {
    const loads = this.of(places);
    const kept = this.#levels.map((level) => loads.filter(({ priority }) => priority === level).length);
    return { places, kept, watts: total(loads.map(({ watts }) => watts)) };
  }

  /** Whether what is still to come may end among the best. @param {number} at @param {number[]} chosen */
  #mayBeBetter(at, chosen) {
    const worst = this.best[this.#most - 1];
    if (!worst) return true;
    const now = this.#ranked(chosen);
    const rest = this.#rest(at);
    const kept = this.#levels.map((level, i) => {
      const more = rest.filter((place) => this.#load(place).priority === level);
      return (now.kept[i] ?? 0) + this.#mostMore(more, chosen);
    });
    const byKept = inOrder(kept, worst.kept);
    return byKept ? byKept > 0 : now.watts + this.#mostWatts(rest, chosen) >= worst.watts * (1 - ROUNDING);
  }

  /**
   * How many of the rest may fit at most: the cheapest first, by each limit alone.
   * @param {number[]} rest
   * @param {number[]} chosen
   */
  #mostMore(rest, chosen) {
    const counts = this.#costs.map((limit) => {
      let left = leftOf(limit, chosen);
      const costs = rest.map((place) => limit.cost[place] ?? 0).sort(ascending);
      const ends = costs.findIndex((cost) => {
        left -= cost;
        return left < 0;
      });
      return ends < 0 ? rest.length : ends;
    });
    return Math.min(rest.length, ...counts);
  }

  /**
   * How many watts of the rest may fit at most: those of most watts an amp first.
   * @param {number[]} rest
   * @param {number[]} chosen
   */
  #mostWatts(rest, chosen) {
    const all = total(rest.map((place) => this.#load(place).watts));
    const found = this.#costs.map((limit) => {
      /** @param {number} place */
      const costOf = (place) => limit.cost[place] ?? 0;
      /** @param {number} place */
      const worth = (place) => this.#load(place).watts / costOf(place);
      let left = leftOf(limit, chosen);
      let watts = 0;
      for (const place of [...rest].sort((one, other) => worth(other) - worth(one))) {
        watts += Math.min(1, left / costOf(place)) * this.#load(place).watts;
        left -= costOf(place);
        if (left <= 0) break;
      }
      return watts;
    });
    return found.length ? Math.min(...found) : all;
  }
}

/** What is left of a capacity, widened a little. @param {Cost} limit @param {number[]} chosen */
const leftOf = ({ cost, capacity }, chosen) =>
  capacity * (1 + ROUNDING) - total(chosen.map((place) => cost[place] ?? 0));

/** @param {number[]} values */
const total = (values) => values.reduce((sum, value) => sum + value, 0);

/** @param {number} one @param {number} other */
const ascending = (one, other) => one - other;

/**
 * Above 0 where the first list is greater at the first place at which they differ.
 * @param {number[]} one
 * @param {number[]} other
 */
function inOrder(one, other) {
  const at = one.findIndex((value, i) => value !== other[i]);
  return at < 0 ? one.length - other.length : (one[at] ?? 0) - (other[at] ?? -1);
}

/** Below 0 where the first is better. @param {Ranked} one @param {Ranked} other */
const order = (one, other) =>
  inOrder(other.kept, one.kept) || other.watts - one.watts || inOrder(one.places, other.places);

/** The places of loads alike in all but name; of most worth first. @param {Load[]} loads */
function alike(loads) {
  /** @type {Map<string, number[]>} */
  const groups = new Map();
  loads.forEach(({ watts, amps, rated, kind, isContinuous, multiple, priority, within }, place) => {
    const what = JSON.stringify([watts, amps, rated, kind, isContinuous, multiple, priority, within]);
    groups.set(what, [...(groups.get(what) ?? []), place]);
  });
  /** @param {number[]} group */
  const first = ([place]) => /** @type {Load} */ (loads[/** @type {number} */ (place)]);
  return [...groups.values()].sort(
    (one, other) =>
      first(one).priority - first(other).priority ||
      first(other).watts - first(one).watts ||
      (one[0] ?? 0) - (other[0] ?? 0),
  );
}

/**
 * For each limit the least that each load takes of it, and how much there is. Where a set runs, the volts lie between
 * the least that loads need and those of the source.
 * @param {Load[]} loads
 * @param {Circuit} circuit
 * @returns {Cost[]}
 */
function costsOf(loads, { volts, ohms, limitAmps, tables }) {
  const low = figureOf(tables, "low-stop");
  const factor = figureOf(tables, "continuous-factor");
  const amps = loads.map(({ siemens, steadyWatts }) => low * siemens + steadyWatts / volts);
  const weighted = amps.map((each, i) => (loads[i]?.isContinuous ? each * factor : each));
  return [
    ...(limitAmps === null ? [] : [{ cost: weighted, capacity: limitAmps }]),
    ...(ohms > 0 ? [{ cost: amps, capacity: (volts - low) / ohms }] : []),
  ];
}
