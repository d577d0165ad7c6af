// The drawing of a rig, from its supply to its outlets.
import { html } from "../lib/html.js";
import { LABEL, layout } from "./layout.js";
import { guardedRuns, hasSides, isDevice, runAt } from "./runs.js";
import { contradictionLabel, deniedTexts, guardText, isOnlyMap, kindOf, nameOf, runText, standingOf } from "./words.js";

/** @import { RigPart } from "../../../schemas/shapes/record.d.ts" */
/** @import { Box, Line, Point } from "./layout.js" */
/** @import { WiredParts } from "./runs.js" */
/** @import { ModeWords } from "./words.js" */

/** About how wide a letter is, so that a line ends before its box does. */
const LETTERS = { name: 10.8, kind: 8, word: 8.6, wire: 7.6 };
const LINE = 20;
const MOST_LINES = 3;
const MOST_OF_WIRE = 5; // lines: a feed's name and its wire
const PAPER = 740; // how much of the drawing a printed page takes
const MARGIN = 5; // between a box and the edge of its page

/** @typedef {ReturnType<typeof layout>} MapDrawing */
/** @typedef {[keyof typeof LETTERS, string]} BoxLine how a line of a box looks, and its text */

/**
 * Draws a rig. A screen reader is told the same by the list.
 * @param {WiredParts} map
 * @param {ModeWords} known
 */
export function rigDrawing(map, known) {
  const drawn = layout(
    map,
    (part, across) => 14 + LINE * linesOf(part, across, known).length,
    (run, across) => foldedLabel(labelText(run, map, known), across).length,
  );
  const { width, height, boxes } = drawn;
  return html`<svg class="rig-map" viewBox="0 0 ${width} ${height}" data-width="${width}" data-height="${height}"
    role="img" aria-label="Drawing: what feeds what, from the supply to the outlets. The list below says the same.">
    <g id="rig-drawing">${wires(drawn, map, known)}${boxes.map((box) =>
      boxMarkup(box, linesOf(box.part, box.width, known), known),
    )}</g></svg>
    <div class="rig-map-sheets" aria-hidden="true">${sheets(drawn).map(
      ([top, end]) =>
        html`<svg class="rig-map" viewBox="0 ${top} ${width} ${end - top}" width="${width}"><use
          href="#rig-drawing"/></svg>`,
    )}</div>`;
}

/** Apart from the drawing, since what is not shown on paper would hide it there. */
export const PATTERN = html`<svg class="rig-map-signs" aria-hidden="true"><defs><pattern id="guarded" width="8"
  height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="rig-map__hatch"
    d="M0 4h8"/></pattern></defs></svg>`;

/** Cuts the drawing between its rows, so that no box is torn between two printed pages. @param {MapDrawing} drawn */
function sheets({ boxes, height }) {
  const cuts = [0];
  let cut = 0;
  for (const { top, y, height: high } of boxes)
    if (y + high - cut > PAPER && top > cut) {
      cut = top + MARGIN;
      cuts.push(cut);
    }
  return cuts.map((top, i) => /** @type {[number, number]} */ ([top, cuts[i + 1] ?? height]));
}

/**
 * What is behind a device has a double line: a broad one, then a narrow one on it.
 * @param {MapDrawing} drawn
 * @param {WiredParts} map
 * @param {ModeWords} known
 */
function wires({ lines, boxes }, map, known) {
  const isJoined = known.stops.some(({ id }) => id !== "shared-neutral-on-one-leg"); // two feeds go round a device
  const behind = isJoined ? [] : guardedRuns(map, known.without);
  const guarded = new Set([...behind].filter((run) => !known.disproved[runAt(map, run).to]?.length));
  const inner = lines.filter(({ run }) => guarded.has(run) && !known.without.includes(run));
  return html`${lines.map(
    (line) => html`<polyline class="${lookOf(line, { guarded, known })}" points="${line.points.join(" ")}"/>`,
  )}
    ${inner.map(({ points }) => html`<polyline class="rig-map__core" points="${points.join(" ")}"/>`)}
    ${lines.map((line) => html`${arrow(line)}${label(line, map, { known, boxes })}`)}`;
}

/** @param {Line} line @param {{guarded: Set<number>, known: ModeWords}} how */
function lookOf({ run, isSecond }, { guarded, known }) {
  if (known.without.includes(run)) return "rig-map__run rig-map__run--out";
  return ["rig-map__run", guarded.has(run) ? "rig-map__run--guarded" : "", isSecond ? "rig-map__run--second" : ""].join(
    " ",
  );
}

/** @param {Line} line */
function arrow({ points }) {
  const [[x1], [x, y]] = /** @type {[Point, Point]} */ (points.slice(-2));
  return x1 === x
    ? html`<path class="rig-map__arrow" d="M${x} ${y}l-8 -11h16z"/>`
    : html`<path class="rig-map__arrow" d="M${x} ${y}l${x > x1 ? -11 : 11} -8v16z"/>`;
}

/** @param {Line} line @param {WiredParts} map @param {{known: ModeWords, boxes: Box[]}} drawn */
function label({ run: at, label: [x, y] }, map, { known, boxes }) {
  const box = boxes.find(({ part }) => part.id === runAt(map, at).to);
  return foldedLabel(labelText(at, map, known), box?.width ?? 0).map(
    (line, i) => html`<text class="rig-map__wire" x="${x}" y="${y + i * LABEL}">${line}</text>`,
  );
}

/** @param {string} text @param {number} width */
const foldedLabel = (text, width) => folded(text, Math.floor((width - 32) / LETTERS.wire), MOST_OF_WIRE);

/**
 * Where wires meet, each says from where it comes.
 * @param {number} at
 * @param {WiredParts} map
 * @param {ModeWords} known
 */
function labelText(at, { parts, runs }, { names, without }) {
  const run = runAt({ runs }, at);
  const isOneOfSeveral = runs.some(({ to }, i) => to === run.to && i !== at);
  const from = isOneOfSeveral ? `from ${names.get(run.from)}` : "";
  if (without.includes(at)) return [from, "not in this mode"].filter(Boolean).join(": ");
  const sided = hasSides(parts.find(({ id }) => id === run.from)?.kind);
  const wire = run.awg || run.feet || sided ? runText(run, sided) : "";
  return [from, wire].filter(Boolean).join(", ");
}

/** @param {string} text @param {number} most */
const clipped = (text, most) => (text.length <= most ? text : `${text.slice(0, most - 1)}…`);

/** @param {Box} box @param {BoxLine[]} told @param {ModeWords} known */
function boxMarkup({ part, x, y, width, height }, told, known) {
  const isContradicted =
    known.contradictions.some((each) => each.part === part.id) || known.stops.some((stop) => stop.part === part.id);
  const standing = standingOf(part, known);
  const looks = [
    isContradicted ? "odd" : standing,
    isDevice(part) ? "device" : "",
    standing === "unguarded" && part.where?.length ? "exposed" : "",
  ];
  const edge = isContradicted ? "unguarded" : standing; // where a trip speaks against it, nothing looks guarded
  return html`<g class="rig-map__box ${looks
    .filter(Boolean)
    .map((look) => `rig-map__box--${look}`)
    .join(" ")}" data-part="${part.id}">
    <rect class="rig-map__frame" x="${x}" y="${y}" width="${width}" height="${height}" rx="6"/>
    ${
      edge === "guarded"
        ? html`<rect class="rig-map__guard" fill="url(#guarded)" x="${x + 4}" y="${y + 4}" width="16"
          height="${height - 8}" rx="3"/>`
        : ""
    }
    ${edge === "unguarded" ? html`<text class="rig-map__mark" x="${x + 8}" y="${y + height / 2 + 10}">!</text>` : ""}
    ${told.map(
      ([look, text], i) => html`<text class="rig-map__${look}" x="${x + 28}" y="${y + 23 + i * LINE}">${text}</text>`,
    )}</g>`;
}

/**
 * @param {RigPart} part
 * @param {number} width
 * @param {ModeWords} known
 * @returns {BoxLine[]} the lines in a box
 */
function linesOf(part, width, known) {
  const contradicted = known.contradictions.filter((each) => each.part === part.id).map(contradictionLabel);
  const denied = contradicted.length ? [] : deniedTexts(part, known).map(begun); // what fed it stayed live
  /** @type {BoxLine[]} */
  const said = [
    ["name", nameOf(part)],
    ["word", stopWord(part, known)],
    ["kind", kindOf(part)],
    ["word", `${isOnlyMap(part, known) ? "Map: " : ""}${guardText(part, { ...known, disproved: {} })}`],
    ...[...new Set([...contradicted, ...denied])].map((each) => /** @type {BoxLine} */ (["word", each])),
  ];
  return said
    .filter(([, text]) => text)
    .flatMap(([look, text]) =>
      folded(text, Math.floor((width - 36) / LETTERS[look])).map((line) => /** @type {BoxLine} */ ([look, line])),
    );
}

/** @param {RigPart} part @param {ModeWords} known */
function stopWord(part, { stops }) {
  const stop = stops.find((each) => each.part === part.id);
  if (!stop) return "";
  return stop.id === "shared-neutral-on-one-leg" ? "STOP: neutral carries two" : "STOP: fed twice at once";
}

/** @param {string} text */
const begun = (text) => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;

/**
 * Folds a text between its words; what does not fit into the lines ends with an ellipsis.
 * @param {string} text
 * @param {number} most
 */
function folded(text, most, mostLines = MOST_LINES) {
  const lines = [""];
  for (const word of text.split(" ")) {
    const last = lines.at(-1);
    const longer = last ? `${last} ${word}` : word;
    if (longer.length <= most || !last || lines.length === mostLines) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines.map((line) => clipped(line, most));
}
