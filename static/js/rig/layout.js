// Where each part and run of a rig stands in the drawing. A part a row; what it feeds stands below it, further in
// where it is more than one. What hangs on a load side comes first, on a trunk of its own, so that no trunk is
// crossed.
import { runAt } from "./runs.js";

/** @import { RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @import { WiredParts } from "./runs.js" */

export const BOX = 74; // how high a box is, if nothing else is said
const INDENT = 32; // how much further in what a part feeds stands
const GAP = 14; // above each row
export const LABEL = 19; // for each line of the words of a wire that comes in
const LEAST_WIDTH = 216; // of a box
const PAGE_WIDTH = 324;
const TRUNKS = { line: 9, load: 21 };
const GUTTER = 14;
const EDGE = 4;

/**
 * @typedef {object} Box
 * @property {RigPart} part
 * @property {number} top where its row begins
 * @property {number} x
 * @property {number} y
 * @property {number} width
 * @property {number} height
 */

/** @typedef {[number, number]} Point */
/** @typedef {"line"|"load"} Side */
/** @typedef {{run: number, points: Point[], label: Point, side: Side, isSecond: boolean}} Line */
/** @typedef {{part: RigPart, run: number|null}} Row under the run that reaches it, if one does */
/** @typedef {Map<string, number[]>} RunsInto the runs into each part */

/**
 * @typedef {object} MapLines what the lines are drawn by
 * @property {RigRun[]} runs
 * @property {RunsInto} coming
 * @property {(run: number, width: number) => number} linesOf
 * @property {Map<string, Box>} byId
 */

/**
 * Lays a map out. Every part has one box and every run one line, whatever the map is like.
 * @param {WiredParts} map
 * @param {(part: RigPart, width: number) => number} [heightOf] a box
 * @param {(run: number, width: number) => number} [linesOf] the words of a wire, above a box
 * @returns {{width: number, height: number, boxes: Box[], lines: Line[]}}
 */
export function layout({ parts, runs }, heightOf = () => BOX, linesOf = () => 1) {
  const rows = inRows(parts, runs);
  const deepest = Math.max(0, ...rows.map(({ depth }) => depth));
  const inner = Math.max(PAGE_WIDTH - 2 * EDGE, deepest * INDENT + LEAST_WIDTH);
  const coming = comingIn(parts, runs);
  let top = EDGE;
  /** @type {Box[]} */
  const boxes = rows.map(({ part, depth }) => {
    const x = EDGE + depth * INDENT;
    const width = EDGE + inner - x;
    const words = (coming.get(part.id) ?? []).reduce((sum, run) => sum + linesOf(run, width), 0);
    const y = top + (top > EDGE ? GAP : 0) + words * LABEL;
    const box = { part, top, x, y, width, height: heightOf(part, width) };
    top = y + box.height;
    return box;
  });
  const drawn = { runs, coming, linesOf, byId: new Map(boxes.map((box) => [box.part.id, box])) };
  const firsts = new Set(rows.flatMap(({ run }) => (run === null ? [] : [run])));
  const seconds = [...coming.values()].flat().filter((run) => !firsts.has(run));
  const lines = [...firsts]
    .map((run) => straight(run, drawn))
    .concat(seconds.map((run, i) => around(run, EDGE + inner + (i + 1) * GUTTER, drawn)));
  return {
    width: 2 * EDGE + inner + seconds.length * GUTTER,
    height: top + EDGE,
    boxes,
    lines: lines.sort((a, b) => a.run - b.run),
  };
}

/** @param {RigPart[]} parts @returns {Map<string, number[]>} */
const emptyLists = (parts) => new Map(parts.map(({ id }) => [id, []]));

/**
 * Gives the runs into each part, from parts that there are.
 * @param {RigPart[]} parts
 * @param {RigRun[]} runs
 * @returns {RunsInto}
 */
function comingIn(parts, runs) {
  const coming = emptyLists(parts);
  for (const [run, { from, to }] of runs.entries()) if (coming.has(from)) coming.get(to)?.push(run);
  return coming;
}

/**
 * A part stands under the first run that reaches it; what nothing reaches, or only itself, begins a tree.
 * @param {RigPart[]} parts
 * @param {RigRun[]} runs
 */
function inRows(parts, runs) {
  const known = new Map(parts.map((part) => [part.id, part]));
  const from = emptyLists(parts);
  for (const [i, run] of runs.entries()) if (known.has(run.to)) from.get(run.from)?.push(i);
  const fed = new Set(runs.filter((run) => known.has(run.from)).map(({ to }) => to));
  /** @type {Row[]} */
  const rows = [];
  /** @type {Set<string>} */
  const seen = new Set();
  const roots = [...parts.filter(({ id }) => !fed.has(id)), ...parts.filter(({ id }) => fed.has(id))];
  for (const part of roots) descend({ part, run: null }, { known, from, runs, rows, seen });
  return indented(rows, runs);
}

/**
 * Without recursion: a bad map may be one long string of parts.
 * @param {Row} first
 * @param {{known: Map<string, RigPart>, from: Map<string, number[]>, runs: RigRun[], rows: Row[], seen: Set<string>}}
 *   to
 */
function descend(first, { known, from, runs, rows, seen }) {
  const waiting = [first];
  for (let row = waiting.pop(); row; row = waiting.pop()) {
    if (seen.has(row.part.id)) continue;
    seen.add(row.part.id);
    rows.push(row);
    const ways = (from.get(row.part.id) ?? []).map((run) => ({ ...runAt({ runs }, run), run }));
    ways.sort((a, b) => isLine(a) - isLine(b) || a.run - b.run);
    waiting.push(...ways.flatMap(({ to, run }) => rowOf(known.get(to), run)).reverse());
  }
}

/** @param {RigPart|undefined} part @param {number} run @returns {Row[]} */
const rowOf = (part, run) => (part ? [{ part, run }] : []);

/**
 * One part after the other stays in line; only where the way forks it goes further in.
 * @param {Row[]} rows
 * @param {RigRun[]} runs
 */
function indented(rows, runs) {
  /** @type {Map<string|null, number>} */
  const children = new Map();
  const froms = rows.map(({ run }) => (run === null ? null : runAt({ runs }, run).from));
  for (const from of froms) children.set(from, (children.get(from) ?? 0) + 1);
  /** @type {Map<string, number>} */
  const depths = new Map();
  return rows.map((row, i) => {
    const from = froms[i] ?? null;
    const depth = from === null ? 0 : (depths.get(from) ?? 0) + ((children.get(from) ?? 0) > 1 ? 1 : 0);
    depths.set(row.part.id, depth);
    return { ...row, depth };
  });
}

/** @param {Pick<RigRun, "from_side">} run @returns {Side} */
const sideOf = (run) => run.from_side ?? "line";
/** @param {Pick<RigRun, "from_side">} run */
const isLine = (run) => (sideOf(run) === "line" ? 1 : 0);

/**
 * Only runs between parts that there are are drawn, so both have their box.
 * @param {number} at
 * @param {MapLines} drawn
 */
function endsOf(at, { runs, byId }) {
  const run = runAt({ runs }, at);
  const [from, to] = [byId.get(run.from), byId.get(run.to)];
  return { side: sideOf(run), from: /** @type {Box} */ (from), to: /** @type {Box} */ (to) };
}

/**
 * Straight down, or down the trunk of its side and in to the box.
 * @param {number} run
 * @param {MapLines} drawn
 * @returns {Line}
 */
function straight(run, drawn) {
  const { side, from, to } = endsOf(run, drawn);
  const [x, y] = [from.x + TRUNKS[side], to.y + to.height / 2];
  /** @type {Point[]} */
  const points =
    from.x === to.x
      ? [
          [x, from.y + from.height],
          [x, to.y],
        ]
      : [
          [x, from.y + from.height],
          [x, y],
          [to.x, y],
        ];
  return { run, side, isSecond: false, points, label: labelOf(run, to, drawn) };
}

/**
 * A second feed goes round the boxes, in a gutter of its own.
 * @param {number} run
 * @param {number} x
 * @param {MapLines} drawn
 * @returns {Line}
 */
function around(run, x, drawn) {
  const { side, from, to } = endsOf(run, drawn);
  const [start, end] = [from.y + from.height / 3, to.y + (2 * to.height) / 3];
  /** @type {Point[]} */
  const points = [
    [from.x + from.width, start],
    [x, start],
    [x, end],
    [to.x + to.width, end],
  ];
  return { run, side, isSecond: true, points, label: labelOf(run, to, drawn) };
}

/**
 * Where the words of a wire begin: above the box, one wire under the other, clear of the lines.
 * @param {number} run
 * @param {Box} to
 * @param {Pick<MapLines, "coming"|"linesOf">} drawn
 * @returns {Point}
 */
function labelOf(run, to, { coming, linesOf }) {
  const wires = coming.get(to.part.id) ?? [];
  const below = wires.slice(wires.indexOf(run)).reduce((lines, each) => lines + linesOf(each, to.width), 0);
  return [to.x + 32, to.y - 7 - (below - 1) * LABEL];
}
