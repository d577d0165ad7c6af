// What cuts what off where a part of a rig has more than one feed at once, and which stop that is. The twin of
// joined.py and sources.py in fieldlog/engine/protection.

/** @import { RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */

/**
 * @typedef {object} Net a map in one mode
 * @property {RigPart[]} parts
 * @property {{run: RigRun, i: number}[]} runs that are there in this mode
 * @property {(part: RigPart) => boolean} isSource whether power comes in there
 * @property {(id: string) => boolean} trips
 * @property {(run: RigRun) => boolean} isBeyond whether a run leaves from beyond the contacts of a device
 */

/** @typedef {"two-sources-at-once"|"pins-live-backwards"|"fed-twice"} StopId */
/** @typedef {{id: StopId, part: string, runs: number[], among: string[]}} Stop */
/** @typedef {{isFed: boolean, devices: string[]}} Cuts */

const NO_POWER = -1n; // every bit is set

/** @param {Net["runs"]} runs @param {string} id */
const feedsOf = (runs, id) => runs.filter(({ run }) => run.to === id);

/** @param {Pick<Net, "parts"|"runs">} net @returns {string[]} the parts that several runs feed at once */
export function joinsOf({ parts, runs }) {
  const ends = runs.map(({ run }) => run.to);
  const [once, twice] = [new Set(), new Set()];
  for (const end of ends) (once.has(end) ? twice : once).add(end);
  return parts.map(({ id }) => id).filter((id) => twice.has(id));
}

/**
 * Gives the devices that leave a part dead: those that every way from a source leads through, forwards or backwards.
 * @param {Net} net
 * @returns {(id: string) => Cuts} nearest first
 */
export function joinedCuts(net) {
  const { parts, runs, trips } = net;
  const number = new Map(parts.map(({ id }, i) => [id, i]));
  const cut = cutsByPlace(net, number);
  return (id) => {
    const own = number.get(id) ?? 0;
    if (parts[own]?.kind === "inverter") return { isFed: true, devices: [] };
    const [before = NO_POWER, beyond = NO_POWER] = [cut[own], cut[parts.length + own]];
    const isFed = (before & beyond) !== NO_POWER;
    /** @param {string} each */
    const isCut = (each) => trips(each) && (beyond >> BigInt(number.get(each) ?? 0)) & 1n;
    return { isFed, devices: isFed ? nearest(parts, runs, id).filter(isCut) : [] };
  };
}

/**
 * By place: a part's own feed under its number; what lies beyond its contacts, so many further on.
 * @param {Net} net
 * @param {Map<string, number>} number
 */
function cutsByPlace({ parts, runs, isSource, trips, isBeyond }, number) {
  const count = parts.length;
  /** @type {[number, bigint][][]} */
  const neighbours = [...parts, ...parts].map(() => []);
  /** @param {number} one @param {number} other @param {bigint} bit */
  const join = (one, other, bit) => {
    neighbours[one]?.push([other, bit]);
    neighbours[other]?.push([one, bit]);
  };
  for (const [i, { id, kind }] of parts.entries())
    if (kind !== "inverter") join(i, count + i, trips(id) ? 1n << BigInt(i) : 0n);
  for (const { run } of runs) {
    const [from, to] = [number.get(run.from), number.get(run.to)];
    if (from !== undefined && to !== undefined) join(from + (isBeyond(run) ? count : 0), to, 0n);
  }
  const sources = parts.flatMap((part, i) => {
    if (part.kind === "inverter") return [count + i];
    return isSource(part) && !feedsOf(runs, part.id).length ? [i] : [];
  });
  /** @type {bigint[]} */
  const cut = neighbours.map((_, place) => (sources.includes(place) ? 0n : NO_POWER));
  const waiting = new Set(sources);
  for (const place of waiting) {
    waiting.delete(place);
    for (const [other, bit] of neighbours[place] ?? []) {
      const [here = NO_POWER, before = NO_POWER] = [cut[place], cut[other]];
      const left = before & (here | bit);
      if (left === before) continue;
      cut[other] = left;
      waiting.add(other);
    }
  }
  return cut;
}

/**
 * The parts by how many runs lie between them and one, itself first, whatever the direction.
 * @param {RigPart[]} parts
 * @param {Net["runs"]} runs
 * @param {string} id
 */
function nearest(parts, runs, id) {
  const found = new Set([id]);
  for (let ring = [id]; ring.length; ) {
    const around = new Set(
      runs.flatMap(({ run: { from, to } }) => (ring.includes(from) || ring.includes(to) ? [from, to] : [])),
    );
    ring = parts.map((part) => part.id).filter((each) => around.has(each) && !found.has(each));
    for (const each of ring) found.add(each);
  }
  return [...found];
}

/** @param {Net} net @returns {Stop[]} in the order of the map */
export const stopsOf = (net) =>
  joinsOf(net).flatMap((part) => {
    const [id, among] = stopAt(net, part);
    const runs = feedsOf(net.runs, part).map(({ i }) => i);
    return among.length ? [{ id, part, runs, among: among.map((end) => end.id) }] : [];
  });

/**
 * @param {Net} net
 * @param {string} part with several feeds
 * @returns {[StopId, RigPart[]]} none where no feed has power
 */
function stopAt(net, part) {
  const above = aboveOf(net, part);
  /** @param {RigPart} end */
  const isOwn = ({ kind }) => kind === "inverter";
  const ends = net.parts.filter((one) => above.has(one.id) && (isOwn(one) || !feedsOf(net.runs, one.id).length));
  const sources = ends.filter((end) => isOwn(end) || net.isSource(end));
  const bare = ends.filter((end) => !sources.includes(end));
  if (sources.length > 1) return ["two-sources-at-once", sources];
  return sources.length && bare.length ? ["pins-live-backwards", bare] : ["fed-twice", sources];
}

/**
 * The parts on any way up to the sources; what feeds an inverter is not among them.
 * @param {Net} net
 * @param {string} id
 */
function aboveOf({ parts, runs }, id) {
  const inverters = parts.filter(({ kind }) => kind === "inverter").map((part) => part.id);
  /** @type {Set<string>} */
  const found = new Set();
  /** @param {string} one */
  const climb = (one) => {
    for (const { run } of feedsOf(runs, one)) found.add(run.from);
  };
  climb(id);
  for (const one of found) if (!inverters.includes(one)) climb(one);
  return found;
}
