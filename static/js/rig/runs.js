// Which way the power comes on a map, with the runs of a mode left out.

const TWO_SIDED = ["cord-gfci", "gfci-receptacle"];

/**
 * @typedef {{id: string, kind: string, gfci?: boolean}} Part
 * @typedef {{from: string, to: string, from_side?: "line"|"load"}} Run
 * @typedef {{parts: Part[], runs: Run[]}} Wired
 */

/** @param {string} kind @returns {boolean} whether such a part has a line and a load side */
export const hasSides = (kind) => TWO_SIDED.includes(kind);

/** @param {Part} part @returns {boolean} whether it trips on a ground fault */
export const isDevice = ({ kind, gfci }) => hasSides(kind) || (kind === "breaker" && Boolean(gfci));

/**
 * @param {Wired} map
 * @param {number[]} without
 * @returns {Map<string, number>} the run that feeds each part that has one
 */
function feeds({ runs }, without) {
  return new Map(
    runs.map(({ to }, i) => /** @type {[string, number]} */ ([to, i])).filter(([, i]) => !without.includes(i)),
  );
}

/**
 * Gives the way from the source to a part.
 * @param {Wired} map
 * @param {string} id
 * @param {number[]} [without]
 * @returns {number[]} runs, the one at the source first
 */
export function wayTo(map, id, without = []) {
  const byPart = feeds(map, without);
  const way = [];
  for (let run = byPart.get(id); run !== undefined && !way.includes(run); run = byPart.get(map.runs[run].from))
    way.unshift(run);
  return way;
}

/**
 * Finds the runs that a ground-fault device stands before.
 * @param {Wired} map
 * @param {number[]} [without]
 * @returns {Set<number>}
 */
export function guardedRuns(map, without = []) {
  const byId = new Map(map.parts.map((part) => [part.id, part]));
  const byPart = feeds(map, without);
  const known = new Map();
  /** @param {number} run */
  const isGuarded = (run) => {
    const walked = [];
    let found = false;
    for (let at = run; at !== undefined && !found && !walked.includes(at); at = byPart.get(map.runs[at].from)) {
      const from = byId.get(map.runs[at].from);
      walked.push(at);
      if (known.has(at) || !from || from.kind === "inverter") {
        found = known.get(at) ?? false;
        break;
      }
      found = hasSides(from.kind) ? map.runs[at].from_side === "load" : isDevice(from);
    }
    for (const at of walked) known.set(at, found);
    return found;
  };
  return new Set(map.runs.map((_, run) => run).filter(isGuarded));
}
