// Where each part and run of a rig stands in the drawing: a part a row, what it feeds below it and further in.
// What hangs on a load side comes first, on a trunk of its own, so that no trunk is crossed.

export const ROW = 98; // from one box to the next, down
export const BOX = 70; // how high a box is
export const INDENT = 32; // how much further in what a part feeds stands
const LEAST_WIDTH = 216; // of a box
const PAGE_WIDTH = 328;
const TRUNKS = { line: 9, load: 21 };
const GUTTER = 14;
const EDGE = 4;

/**
 * @typedef {{id: string, kind: string, name?: string}} Part
 * @typedef {{from: string, to: string, from_side?: "line"|"load"}} Run
 * @typedef {{part: Part, x: number, y: number, width: number, height: number}} Box
 * @typedef {{run: number, points: [number, number][], side: "line"|"load", isSecond: boolean}} Line
 */

/**
 * Lays a map out. Every part has one box and every run one line, whatever the map is like.
 * @param {{parts: Part[], runs: Run[]}} map
 * @returns {{width: number, height: number, boxes: Box[], lines: Line[]}}
 */
export function layout({ parts, runs }) {
  const rows = inRows(parts, runs);
  const deepest = Math.max(0, ...rows.map(({ depth }) => depth));
  const inner = Math.max(PAGE_WIDTH - 2 * EDGE, deepest * INDENT + LEAST_WIDTH);
  const boxes = rows.map(({ part, depth }, i) => {
    const x = EDGE + depth * INDENT;
    return { part, x, y: EDGE + i * ROW + (ROW - BOX), width: EDGE + inner - x, height: BOX };
  });
  const byId = new Map(boxes.map((box) => [box.part.id, box]));
  const firsts = new Set(rows.map(({ run }) => run).filter((run) => run !== null));
  const seconds = runs.map((_, run) => run).filter((run) => !firsts.has(run) && byId.has(runs[run].from) && byId.has(runs[run].to));
  const lines = [...firsts].map((run) => straight(runs, run, byId)).concat(seconds.map((run, i) => around(runs, run, byId, EDGE + inner + (i + 1) * GUTTER)));
  return { width: 2 * EDGE + inner + seconds.length * GUTTER, height: 2 * EDGE + rows.length * ROW, boxes, lines: lines.sort((a, b) => a.run - b.run) };
}

/** A part stands under the first run that reaches it; what nothing reaches, or only itself, begins a tree. */
function inRows(parts, runs) {
  const known = new Map(parts.map((part) => [part.id, part]));
  const from = new Map(parts.map(({ id }) => [id, []]));
  runs.forEach((run, i) => from.get(run.from)?.push(i));
  const fed = new Set(runs.filter((run) => known.has(run.from)).map(({ to }) => to));
  const rows = [];
  const seen = new Set();
  const roots = [...parts.filter(({ id }) => !fed.has(id)), ...parts.filter(({ id }) => fed.has(id))];
  for (const part of roots) descend({ part, depth: 0, run: null }, { known, from, runs, rows, seen });
  return rows;
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
    const next = ways.filter((run) => known.has(runs[run].to)).map((run) => ({ part: known.get(runs[run].to), depth: row.depth + 1, run }));
    waiting.push(...next.reverse());
  }
}

const sideOf = (run) => run.from_side ?? "line";
const isLine = (run) => (sideOf(run) === "line" ? 1 : 0);

/** Down the trunk of its side, then in to the box. */
function straight(runs, run, byId) {
  const side = sideOf(runs[run]);
  const [from, to] = [byId.get(runs[run].from), byId.get(runs[run].to)];
  const [x, y] = [from.x + TRUNKS[side], to.y + to.height / 2];
  return { run, side, isSecond: false, points: [[x, from.y + from.height], [x, y], [to.x, y]] };
}

/** A second feed goes round the boxes, in a gutter of its own. */
function around(runs, run, byId, x) {
  const [from, to] = [byId.get(runs[run].from), byId.get(runs[run].to)];
  const [start, end] = [from.y + from.height / 3, to.y + (2 * to.height) / 3];
  return { run, side: sideOf(runs[run]), isSecond: true, points: [[from.x + from.width, start], [x, start], [x, end], [to.x + to.width, end]] };
}
