// The drawing of a rig, from its supply to its outlets, and the same in words.
import { html } from "../lib/html.js";
import { BOX, layout } from "./layout.js";
import { FACES, guardText, kindOf, nameOf, runText } from "./words.js";

const LETTER = 8.4; // about as wide as a letter of the larger text is
const SMALL_LETTER = 7.2;

/**
 * @typedef {object} Known what the map and the trips say, in one mode
 * @property {Record<string, string[]>} guards by part, nearest first
 * @property {Set<string>} fed the parts that have a feed
 * @property {Map<string, string>} names
 * @property {{part: string, expected: string, seen: string}[]} contradictions
 * @property {(part: Record<string, any>) => string|null} wayTo the page of a part
 * @property {Set<number>} [without] runs that this mode does not have
 */

/**
 * Draws a rig.
 * @param {{parts: Record<string, any>[], runs: Record<string, any>[]}} map
 * @param {Known} known
 */
export function rigDrawing(map, known) {
  const { width, height, boxes, lines } = layout(map);
  const kinds = new Map(map.parts.map((part) => [part.id, part.kind]));
  return html`<svg class="rig-map" viewBox="0 0 ${width} ${height}" data-width="${width}" role="group" aria-label="What feeds what, from the supply to the outlets">
    <defs><pattern id="guarded" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="rig-map__hatch" d="M0 4h8"/></pattern></defs>
    ${lines.map((line) => lineMarkup(line, map.runs[line.run], { kinds, known }))}
    ${boxes.map((box) => boxMarkup(box, known))}</svg>`;
}

/** A device has two ways out; other parts have one. */
const hasSides = (kind) => ["gfci-receptacle", "cord-gfci"].includes(kind);

function lineMarkup({ run: at, points, isSecond }, run, { kinds, known }) {
  const isOut = known.without?.has(at);
  const look = ["rig-map__run", isSecond ? "rig-map__run--second" : "", isOut ? "rig-map__run--out" : ""].join(" ");
  const [x, y] = points.at(-1);
  const label = [runText(run, hasSides(kinds.get(run.from))), isOut ? "not in this mode" : ""].filter(Boolean).join(", ");
  const word = isSecond ? "" : html`<text class="rig-map__wire" x="${x + 2}" y="${y - BOX / 2 - 7}">${label}</text>`;
  return html`<polyline class="${look}" points="${points.map((point) => point.join(",")).join(" ")}"/>${word}`;
}

function boxMarkup({ part, x, y, width, height }, known) {
  const guard = guardText(part, known);
  const odd = known.contradictions.find((each) => each.part === part.id);
  const isGuarded = FACES.includes(part.kind) && Boolean(known.guards[part.id]?.length) && known.fed.has(part.id);
  const look = ["rig-map__box", known.fed.has(part.id) ? "" : "rig-map__box--out", odd ? "rig-map__box--odd" : "", part.kind.includes("gfci") || part.gfci ? "rig-map__box--device" : ""].join(" ");
  const inside = (width - 32) / LETTER;
  const last = odd ? `Map says ${odd.expected}, seen ${odd.seen}` : guard;
  const body = html`<title>${[nameOf(part), kindOf(part), last].filter(Boolean).join(". ")}</title>
    <rect x="${x}" y="${y}" width="${width}" height="${height}" rx="6"/>
    ${isGuarded ? html`<rect class="rig-map__guard" x="${x + 3}" y="${y + 3}" width="14" height="${height - 6}" rx="3"/>` : ""}
    <text class="rig-map__name" x="${x + 24}" y="${y + 23}">${clipped(nameOf(part), inside)}</text>
    <text class="rig-map__kind" x="${x + 24}" y="${y + 42}">${clipped(kindOf(part), (width - 32) / SMALL_LETTER)}</text>
    <text class="rig-map__word" x="${x + 24}" y="${y + 60}">${clipped(last, (width - 32) / SMALL_LETTER)}</text>`;
  const way = known.wayTo(part);
  return way ? html`<a class="${look}" href="${way}" data-part="${part.id}">${body}</a>` : html`<g class="${look}" data-part="${part.id}">${body}</g>`;
}

const clipped = (text, most) => (text.length <= most ? text : `${text.slice(0, Math.floor(most) - 1)}…`);

/**
 * Says the same in words, part under part.
 * @param {{parts: Record<string, any>[], runs: Record<string, any>[]}} map
 * @param {Known} known
 */
export function rigText(map, known) {
  const kinds = new Map(map.parts.map((part) => [part.id, part.kind]));
  return html`<ol class="rig-text">${layout(map).boxes.map(({ part }) => html`<li>${sentences(part, map, { kinds, known })}</li>`)}</ol>`;
}

function sentences(part, map, { kinds, known }) {
  const way = known.wayTo(part);
  const name = way ? html`<a href="${way}">${nameOf(part)}</a>` : nameOf(part);
  const feeds = map.runs.filter(({ to }) => to === part.id).map((run) => `fed from ${known.names.get(run.from) ?? run.from} (${runText(run, hasSides(kinds.get(run.from)))})`);
  const odd = known.contradictions.filter((each) => each.part === part.id).map(({ expected, seen }) => `A trip test contradicts the map: ${seen} where the map says ${expected}.`);
  const guard = guardText(part, known);
  return html`<b>${name}</b>: ${[kindOf(part), ...feeds].join(", ")}. ${guard ? `${guard}.` : ""} ${odd.join(" ")}`;
}
