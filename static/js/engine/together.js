// Which loads run together: the best sets that cannot take one more. The twin of fieldlog/engine/planning/together.py.
import { added, Carrier, carries, noSums, ownLoads, ownOf, sumsOf } from "./loading.js";
import { figureOf } from "./plan-circuit.js";
import { Bounds } from "./set-bounds.js";

/** @import { Circuit, Sums } from "./loading.js" */
/** @import { Load } from "./plan-circuit.js" */
/** @import { Remainder } from "./set-bounds.js" */

/** @typedef {{places: number[], kept: number[], watts: number}} Candidate */

/**
 * The best sets of loads that run together and cannot take one more. Of two the one that keeps more loads of priority 1
 * is better, then of priority 2 and so on; then the one of more watts; then the one whose loads stand earlier.
 * @param {Load[]} loads
 * @param {Circuit[]} circuits hot by hot; what hangs between two has to run on both
 */
export function togetherOf(loads, circuits) {
  if (!loads.length || circuits.some(({ volts, tables }) => volts > figureOf(tables, "high-stop")))
    return { best: /** @type {Load[][]} */ ([]), isExact: true };
  const search = new Search(loads, circuits);
  if (circuits.every((circuit) => carries([], circuit))) search.begin();
  return { best: search.best.map(({ places }) => search.of(places)), isExact: !search.isCut };
}

class Search {
  /** @type {Candidate[]} */
  best = [];
  isCut = false;
  #steps = 0;
  #loads;
  #circuits;
  #carriers;
  #order;
  #next;
  #levels;
  #sums;
  #rest;
  #bounds;
  #most;
  #mostSteps;

  /** @param {Load[]} loads @param {Circuit[]} circuits */
  constructor(loads, circuits) {
    const { tables } = /** @type {Circuit} */ (circuits[0]);
    const groups = alike(loads);
    this.#loads = loads;
    this.#circuits = circuits;
    this.#carriers = circuits.map((circuit) => new Carrier(circuit, ownLoads(circuit, loads)));
    this.#order = groups.flat();
    this.#next = nextGroups(groups);
    this.#levels = [...new Set(loads.map(({ priority }) => priority))].sort((one, other) => one - other);
    this.#sums = this.#order.map((place) => sumsOn(circuits, this.#load(place)));
    this.#rest = sumsFrom(this.#sums, circuits.map(noSums));
    this.#bounds = new Bounds(this.of(this.#order), this.#levels, circuits);
    this.#most = figureOf(tables, "sets-shown");
    const isMany = loads.length > figureOf(tables, "sets-exact-loads");
    this.#mostSteps = isMany ? figureOf(tables, "sets-most-steps") : Infinity;
  }

  begin() {
    this.look(0, this.#circuits.map(noSums), [], 0, this.#bounds.whole());
  }

  /**
   * With a load and without it; of loads alike the first ones stand for all.
   * @param {number} at in the order
   * @param {Sums[]} sums of what is chosen, hot by hot
   * @param {number[]} chosen places in the order
   * @param {number} watts of what is chosen
   * @param {Remainder} left
   */
  look(at, sums, chosen, watts, left) {
    this.#steps += 1;
    if (this.#steps > this.#mostSteps) {
      this.isCut = true;
      return;
    }
    if (this.#carries(addedAll(sums, /** @type {Sums[]} */ (this.#rest[at])), () => [...chosen, ...this.#from(at)])) {
      this.#keep([...chosen, ...this.#from(at)]);
      return;
    }
    const worst = this.best[this.#most - 1];
    if (worst && !this.#bounds.mayBeBetter(at, left, chosen, watts, worst)) return;
    const more = addedAll(sums, /** @type {Sums[]} */ (this.#sums[at]));
    const taken = [...chosen, at];
    if (this.#carries(more, () => taken))
      this.look(at + 1, more, taken, watts + this.#wattsAt(at), this.#bounds.without(left, at));
    this.look(this.#next[at] ?? 0, sums, chosen, watts, left);
  }

  /** @param {number} at */
  #from(at) {
    return this.#order.map((_, i) => i).slice(at);
  }

  /** @param {number} at in the order */
  #wattsAt(at) {
    return this.#load(/** @type {number} */ (this.#order[at])).watts;
  }

  /** @param {Sums[]} sums @param {() => number[]} chosen places in the order, for where only they can tell */
  #carries(sums, chosen) {
    /** @type {Circuit[]} */
    const asked = [];
    for (let at = 0; at < sums.length; at += 1) {
      const told = /** @type {Carrier} */ (this.#carriers[at]).tells(/** @type {Sums} */ (sums[at]));
      if (told < 0) return false;
      if (told === 0) asked.push(/** @type {Circuit} */ (this.#circuits[at]));
    }
    if (!asked.length) return true;
    const loads = this.of(this.#placesOf(chosen()));
    return asked.every((circuit) => carries(ownLoads(circuit, loads), circuit));
  }

  /** @param {number[]} chosen places in the order @returns {number[]} those in the input, ascending */
  #placesOf(chosen) {
    return chosen.map((at) => /** @type {number} */ (this.#order[at])).sort(ascending);
  }

  /** @param {number[]} places */
  of(places) {
    return places.map((place) => this.#load(place));
  }

  /** @param {number} place */
  #load(place) {
    return /** @type {Load} */ (this.#loads[place]);
  }

  /** Keeps a set among the best, unless it can take one more. @param {number[]} chosen places in the order */
  #keep(chosen) {
    const set = this.#ranked(this.#placesOf(chosen));
    const worst = this.best[this.#most - 1];
    if (worst && order(set, worst) > 0) return;
    let sums = this.#circuits.map(noSums);
    for (const at of chosen) sums = addedAll(sums, /** @type {Sums[]} */ (this.#sums[at]));
    for (let at = 0; at < this.#order.length; at = this.#next[at] ?? 0) {
      const more = this.#firstLeft(at, chosen);
      if (more === null) continue;
      const all = addedAll(sums, /** @type {Sums[]} */ (this.#sums[more]));
      if (this.#carries(all, () => [...chosen, more])) return;
    }
    this.best.push(set);
    this.best.sort(order);
    this.best.splice(this.#most);
  }

  /** The first of a group that was left out. @param {number} from where it begins @param {number[]} chosen */
  #firstLeft(from, chosen) {
    for (let at = from; at < (this.#next[from] ?? 0); at += 1) if (!chosen.includes(at)) return at;
    return null;
  }

  /** @param {number[]} places @returns {Candidate} */
  #ranked(places) {
    const kept = this.#levels.map(() => 0);
    let watts = 0;
    for (const place of places) {
      const load = this.#load(place);
      const level = this.#levels.indexOf(load.priority);
      kept[level] = (kept[level] ?? 0) + 1;
      watts += load.watts;
    }
    return { places, kept, watts };
  }
}

/** Where the next group begins, for each place of the order. @param {number[][]} groups @returns {number[]} */
function nextGroups(groups) {
  let end = 0;
  return groups.flatMap((group) => {
    end += group.length;
    return group.map(() => end);
  });
}

/** Sums of a load, hot by hot. @param {Circuit[]} circuits @param {Load} load @returns {Sums[]} */
const sumsOn = (circuits, load) =>
  circuits.map((circuit) => {
    const own = ownOf(circuit, load);
    return own ? sumsOf(own, circuit) : noSums(circuit);
  });

/** Sums of two lots of loads, hot by hot. @param {Sums[]} one @param {Sums[]} other @returns {Sums[]} */
const addedAll = (one, other) => one.map((each, at) => added(each, /** @type {Sums} */ (other[at])));

/** Sums of all from a place of the order on. @param {Sums[][]} sums @param {Sums[]} nothing @returns {Sums[][]} */
function sumsFrom(sums, nothing) {
  const found = [nothing];
  for (const each of [...sums].reverse()) found.unshift(addedAll(each, /** @type {Sums[]} */ (found[0])));
  return found;
}

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

/** Below 0 where the first is better. @param {Candidate} one @param {Candidate} other */
const order = (one, other) =>
  inOrder(other.kept, one.kept) || other.watts - one.watts || inOrder(one.places, other.places);

/** The places of loads alike in all but name; of most worth first. @param {Load[]} loads */
function alike(loads) {
  /** @type {Map<string, number[]>} */
  const groups = new Map();
  loads.forEach(({ watts, amps, rated, kind, isContinuous, multiple, priority, within, leg }, place) => {
    const what = JSON.stringify([watts, amps, rated, kind, isContinuous, multiple, priority, within, leg]);
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
