// Which loads run together: the best sets that cannot take one more. The twin of fieldlog/engine/planning/together.py.
import { add, Carrier, carries, noSums, ownLoads, ownOf, sumsOf } from "./loading.js";
import { figureOf } from "./plan-circuit.js";
import { Bounds } from "./set-bounds.js";

/** @import { Circuit, Sums } from "./loading.js" */
/** @import { Load } from "./plan-circuit.js" */

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

/** What is chosen stands in one list, and its sums in one array a depth: the search makes nothing anew at each step. */
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
  /** @type {number[]} places in the order; those before the depth are chosen */
  #chosen = [];
  /** @type {Sums[][]} of what is chosen, by depth, hot by hot */
  #depths;
  /** @type {Sums[]} */
  #tried;

  /** @param {Load[]} loads @param {Circuit[]} circuits */
  constructor(loads, circuits) {
    const { tables } = /** @type {Circuit} */ (circuits[0]);
    const groups = alike(loads);
    this.#loads = loads;
    this.#circuits = circuits;
    this.#carriers = circuits.map((circuit) => new Carrier(circuit, ownLoads(circuit, loads)));
    this.#order = groups.flat();
    this.#next = nextGroups(groups);
    this.#levels = [...new Set(loads.map(({ priority }) => priority))].sort(ascending);
    this.#sums = this.#order.map((place) => sumsOn(circuits, this.#load(place)));
    this.#rest = sumsFrom(this.#sums, circuits.map(noSums));
    this.#depths = Array.from({ length: loads.length + 1 }, () => circuits.map(noSums));
    this.#tried = circuits.map(noSums);
    this.#bounds = new Bounds(this.of(this.#order), this.#levels, circuits);
    this.#most = figureOf(tables, "sets-shown");
    const isMany = loads.length > figureOf(tables, "sets-exact-loads");
    this.#mostSteps = isMany ? figureOf(tables, "sets-most-steps") : Infinity;
  }

  begin() {
    this.look(0, 0, 0);
  }

  /**
   * With a load and without it; of loads alike the first ones stand for all.
   * @param {number} at in the order
   * @param {number} depth how many are chosen
   * @param {number} watts of what is chosen
   */
  look(at, depth, watts) {
    this.#steps += 1;
    if (this.#steps > this.#mostSteps) {
      this.isCut = true;
      return;
    }
    const sums = this.#depths[depth];
    const end = this.#order.length;
    if (this.#runs(addedAll(this.#tried, sums, this.#rest[at]), depth, at, end)) {
      this.#keep(depth, at, watts);
      return;
    }
    const worst = this.best[this.#most - 1];
    if (worst && !this.#bounds.mayBeBetter(at, depth, this.#chosen, watts, worst)) return;
    const more = this.#depths[depth + 1];
    addedAll(more, sums, this.#sums[at]);
    if (this.#runs(more, depth, at, at + 1)) {
      this.#chosen[depth] = at;
      this.#bounds.choose(at, depth);
      this.look(at + 1, depth + 1, watts + this.#wattsAt(at));
    }
    this.look(this.#next[at], depth, watts);
  }

  /** @param {number} at in the order */
  #wattsAt(at) {
    return this.#load(this.#order[at]).watts;
  }

  /**
   * Whether what is chosen runs with what stands from one place of the order up to another.
   * @param {Sums[]} sums of all of it, hot by hot
   * @param {number} depth
   * @param {number} from
   * @param {number} to
   */
  #runs(sums, depth, from, to) {
    const told = this.#tells(sums);
    return told > 0 || (told === 0 && this.#circuitsCarry(sums, this.#together(depth, from, to)));
  }

  /** By the hot that is worst: 1, -1, or 0 where only the circuit can tell. @param {Sums[]} sums hot by hot */
  #tells(sums) {
    let told = 1;
    for (let at = 0; told >= 0 && at < sums.length; at += 1) told = Math.min(told, this.#carriers[at].tells(sums[at]));
    return told;
  }

  /** @param {Sums[]} sums hot by hot @param {number[]} chosen places in the order */
  #circuitsCarry(sums, chosen) {
    const loads = this.of(this.#placesOf(chosen));
    return this.#circuits.every(
      (circuit, at) => this.#carriers[at].tells(sums[at]) > 0 || carries(ownLoads(circuit, loads), circuit),
    );
  }

  /** @param {number} depth @param {number} from @param {number} to @returns {number[]} places in the order */
  #together(depth, from, to) {
    const found = this.#chosen.slice(0, depth);
    for (let at = from; at < to; at += 1) found.push(at);
    return found;
  }

  /** @param {number[]} chosen places in the order @returns {number[]} those in the input, ascending */
  #placesOf(chosen) {
    return chosen.map((at) => this.#order[at]).sort(ascending);
  }

  /** @param {number[]} places */
  of(places) {
    return places.map((place) => this.#load(place));
  }

  /** @param {number} place */
  #load(place) {
    return this.#loads[place];
  }

  /**
   * Keeps what is chosen with all from a place on among the best, unless it can take one more.
   * @param {number} depth
   * @param {number} from in the order
   * @param {number} watts of what is chosen
   */
  #keep(depth, from, watts) {
    const worst = this.best[this.#most - 1];
    if (worst && this.#bounds.isWorse(from, depth, watts, worst)) return;
    const chosen = this.#together(depth, from, this.#order.length);
    const set = this.#ranked(this.#placesOf(chosen));
    if (worst && order(set, worst) > 0) return;
    const sums = this.#circuits.map(noSums);
    for (const at of chosen) addedAll(sums, sums, this.#sums[at]);
    for (let at = 0; at < this.#order.length; at = this.#next[at]) {
      const more = this.#firstLeft(at, chosen);
      if (more === null) continue;
      addedAll(this.#tried, sums, this.#sums[more]);
      const told = this.#tells(this.#tried);
      if (told > 0 || (told === 0 && this.#circuitsCarry(this.#tried, [...chosen, more]))) return;
    }
    this.best.push(set);
    this.best.sort(order);
    this.best.splice(this.#most);
  }

  /** The first of a group that was left out. @param {number} from where it begins @param {number[]} chosen */
  #firstLeft(from, chosen) {
    for (let at = from; at < this.#next[from]; at += 1) if (!chosen.includes(at)) return at;
    return null;
  }

  /** @param {number[]} places @returns {Candidate} */
  #ranked(places) {
    const kept = this.#levels.map(() => 0);
    let watts = 0;
    for (const place of places) {
      const load = this.#load(place);
      const level = this.#levels.indexOf(load.priority);
      kept[level] += 1;
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

/** Sums of two lots of loads, hot by hot. @param {Sums[]} into @param {Sums[]} one @param {Sums[]} other */
function addedAll(into, one, other) {
  for (let at = 0; at < into.length; at += 1) add(into[at], one[at], other[at]);
  return into;
}

/** Sums of all from a place of the order on. @param {Sums[][]} sums @param {Sums[]} nothing @returns {Sums[][]} */
function sumsFrom(sums, nothing) {
  const found = [nothing];
  for (const each of [...sums].reverse()) {
    const into = each.map((own) => own.slice());
    found.unshift(addedAll(into, each, found[0]));
  }
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
