// Where each part and run of a rig stands in the drawing. A part a row; what it feeds stands below it, further in
// where it is more than one. What hangs on a load side comes first, on a trunk of its own, so that no trunk is
// crossed.

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
 * @typedef {{id: string, kind: string, name?: string}} Part
 * @typedef {{from: string, to: string, from_side?: "line"|"load"}} Run
 * @typedef {{part: Part, top: number, x: number, y: number, width: number, height: number}} Box top: where its row
 *   begins
 * @typedef {{run: number, points: [number, number][], label: [number, number], side: "line"|"load", isSecond:
 *   boolean}} Line
 */

/**
 * Lays a map out. Every part has one box and every run one line, whatever the map is like.
 * @param {{parts: Part[], runs: Run[]}} map
 * @param {(part: Part, width: number) => number} [heightOf] a box
 * @param {(run: number, width: number) => number} [linesOf] the words of a wire, above a box
 * @returns {{width: number, height: number, boxes: Box[], lines: Line[]}}
 */
export function layout({ parts, runs }, heightOf = () => BOX, linesOf = () => 1) {
  const rows = inRows(parts, runs);
  const deepest = Math.max(0, ...rows.map(({ depth }) => depth));
  const inner = Math.max(PAGE_WIDTH - 2 * EDGE, deepest * INDENT + LEAST_WIDTH);
  const coming = comingIn(parts, runs);
  let top = EDGE;
  const boxes = rows.map(({ part, depth }) => {
    const x = EDGE + depth * INDENT;
    const width = EDGE + inner - x;
    const words = coming.get(part.id).reduce((sum, run) => sum + linesOf(run, width), 0);
    const y = top + (top > EDGE ? GAP : 0) + words * LABEL;
    const box = { part, top, x, y, width, height: heightOf(part, width) };
    top = y + box.height;
    return box;
  });
  const drawn = { runs, coming, linesOf, byId: new Map(boxes.map((box) => [box.part.id, box])) };
  const firsts = new Set(rows.map(({ run }) => run).filter((run) => run !== null));
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

/** Gives the runs into each part, from parts that there are. */
function comingIn(parts, runs) {
  const coming = new Map(parts.map(({ id }) => [id, []]));
  for (const [run, { from, to }] of runs.entries()) if (coming.has(from)) coming.get(to)?.push(run);
  return coming;
}

/** A part stands under the first run that reaches it; what nothing reaches, or only itself, begins a tree. */
function inRows(parts, runs) {
  const known = new Map(parts.map((part) => [part.id, part]));
  const from = new Map(parts.map(({ id }) => [id, []]));
  for (const [i, run] of runs.entries()) if (known.has(run.to)) from.get(run.from)?.push(i);
  const fed = new Set(runs.filter((run) => known.has(run.from)).map(({ to }) => to));
  const rows = [];
  const seen = new Set();
  const roots = [...parts.filter(({ id }) => !fed.has(id)), ...parts.filter(({ id }) => fed.has(id))];
  for (const part of roots) descend({ part, run: null }, { known, from, runs, rows, seen });
  return indented(rows, runs);
}

/** Without recursion: a bad map may be one long string of parts. */
function descend(first, { known, from, runs, rows, seen }) {
  const waiting = [first];
  while (waiting.length) {
    const row = waiting.pop();
    if (seen.has(row.part.id)) continue;
    seen.add(row.part.id);
    rows.push(row);
    const ways = [...from.get(row.part.id)].sort((a, b) => isLine(runs[a]) - isLine(runs[b]) || a - b);
    waiting.push(...ways.map((run) => ({ part: known.get(runs[run].to), run })).reverse());
  }
}

/** One part after the other stays in line; only where the way forks it goes further in. */
function indented(rows, runs) {
  const children = new Map();
  const froms = rows.map(({ run }) => (run === null ? null : runs[run].from));
  for (const from of froms) children.set(from, (children.get(from) ?? 0) + 1);
  const depths = new Map();
  return rows.map((row, i) => {
    const depth = froms[i] === null ? 0 : depths.get(froms[i]) + (children.get(froms[i]) > 1 ? 1 : 0);
    depths.set(row.part.id, depth);
    return { ...row, depth };
  });
}

const sideOf = (run) => run.from_side ?? "line";
const isLine = (run) => (sideOf(run) === "line" ? 1 : 0);

/** Straight down, or down the trunk of its side and in to the box. */
function straight(run, drawn) {
  const { runs, byId } = drawn;
  const side = sideOf(runs[run]);
  const [from, to] = [byId.get(runs[run].from), byId.get(runs[run].to)];
  const [x, y] = [from.x + TRUNKS[side], to.y + to.height / 2];
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

/** A second feed goes round the boxes, in a gutter of its own. */
function around(run, x, drawn) {
  const { runs, byId } = drawn;
  const [from, to] = [byId.get(runs[run].from), byId.get(runs[run].to)];
  const [start, end] = [from.y + from.height / 3, to.y + (2 * to.height) / 3];
  const points = [
    [from.x + from.width, start],
    [x, start],
    [x, end],
    [to.x + to.width, end],
  ];
  return { run, side: sideOf(runs[run]), isSecond: true, points, label: labelOf(run, to, drawn) };
}

/** Where the words of a wire begin: above the box, one wire under the other, clear of the lines. */
function labelOf(run, to, { coming, linesOf }) {
  const wires = coming.get(to.part.id);
  const below = wires.slice(wires.indexOf(run)).reduce((lines, each) => lines + linesOf(each, to.width), 0);
  return [to.x + 32, to.y - 7 - (below - 1) * LABEL];
}
