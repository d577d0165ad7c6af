// What the drawing of a rig says, in words: a card a part, the signs, what has no guard, and what the trips contradict.
import { html } from "../lib/html.js";
import { layout } from "./layout.js";
import { hasSides } from "./runs.js";
import { STOPS } from "./stops.js";
import {
  contradictionLabel,
  contradictionText,
  deniedTexts,
  guardText,
  isOnlyMap,
  kindOf,
  nameOf,
  placesOf,
  runText,
  standingOf,
} from "./words.js";

/** @import { RigPart } from "../../../schemas/shapes/record.d.ts" */
/** @import { Protection } from "../engine/protect.js" */
/** @import { Contradiction } from "./judged.js" */
/** @import { WiredParts } from "./runs.js" */
/** @import { ModeWords } from "./words.js" */

/**
 * @param {string} rig
 * @param {Pick<RigPart, "outlet"|"device">} part
 * @returns {string|null} the page on which a part is tested
 */
export function pageOf(rig, { outlet, device }) {
  if (outlet) return `/outlets/${outlet}`;
  return device ? `/round#rig=${rig}&device=${device}` : null;
}

/**
 * Says all that the drawing shows, in its order.
 * @param {WiredParts} map
 * @param {ModeWords} known
 * @param {string} rig
 */
export function drawingWords(map, known, rig) {
  return html`<ol class="rig-text">${layout(map).boxes.map(
    ({ part }) => html`<li>${card(part, map, { known, rig, head: "h3" })}</li>`,
  )}</ol>`;
}

/**
 * All about one part, with the ways on from it.
 * @param {RigPart} part
 * @param {WiredParts} map
 * @param {{known: ModeWords, rig: string, head: "h2"|"h3"}} about
 */
export function card(part, map, { known, rig, head }) {
  const contradicted = known.contradictions
    .filter((each) => each.part === part.id)
    .map((each) => `${contradictionLabel(each)}. The map says otherwise.`);
  const facts = [
    `${kindOf(part)}.`,
    feedText(part, map, known),
    outText(part, map, known),
    sentence(`${isOnlyMap(part, known) ? "By the map: " : ""}${guardText(part, known)}`),
    ...contradicted,
    part.note ? `Note: ${part.note}` : "",
  ];
  const name = html`<span class="visually-hidden"> ${nameOf(part)}</span>`;
  return html`${head === "h2" ? html`<h2 tabindex="-1">${nameOf(part)}</h2>` : html`<h3>${nameOf(part)}</h3>`}
    <p>${facts.filter(Boolean).join(" ")}</p>
    <p class="rig-text__ways">${
      part.outlet ? html`<a class="button button--quiet" href="${pageOf(rig, part)}">Story and test${name}</a>` : ""
    }
      ${
        part.device
          ? html`<a class="button button--quiet" href="${pageOf(rig, { device: part.device })}">Press TEST${name}</a>`
          : ""
      }
      <a class="button button--quiet"
        href="/rigs/${rig}/map/parts/${encodeURIComponent(part.id)}">Change${name}</a></p>`;
}

/** @param {string} text */
const sentence = (text) => (text ? `${text}.` : "");

/** @param {RigPart} part @param {WiredParts} map @param {ModeWords} known */
function feedText({ id }, { parts, runs }, { names, without }) {
  const kinds = new Map(parts.map((part) => [part.id, part.kind]));
  const feeds = runs.map((run, i) => ({ run, i })).filter(({ run }) => run.to === id);
  const said = feeds.map(
    ({ run, i }) =>
      `${names.get(run.from) ?? run.from} (${[
        runText(run, hasSides(kinds.get(run.from))),
        without.includes(i) ? "not in this mode" : "",
      ]
        .filter(Boolean)
        .join(", ")})`,
  );
  return said.length ? `Fed from ${said.join(", and from ")}.` : "";
}

/** @param {RigPart} part @param {WiredParts} map @param {ModeWords} known */
function outText({ id }, { runs }, { names }) {
  const feeds = runs.filter(({ from }) => from === id).map(({ to }) => names.get(to) ?? to);
  return feeds.length ? `Feeds ${feeds.join(", ")}.` : "";
}

/**
 * Names what a hand may touch and nothing guards: what stands outside or near water first, each for itself.
 * @param {WiredParts} map
 * @param {ModeWords} known
 * @param {string} rig
 */
export function unguardedList(map, known, rig) {
  const unguarded = map.parts.filter((part) => standingOf(part, known) === "unguarded");
  /** @param {RigPart} part where it is, and what a trip test shows otherwise than the map */
  const toldOf = (part) => {
    const [places, denied] = [placesOf(part).join(", "), deniedTexts(part, known).join("; ")];
    if (!places && !denied) return "";
    return [places, denied || "no ground-fault device before it"].filter(Boolean).join(": ");
  };
  const others = unguarded.filter((part) => !toldOf(part)).map((part) => `“${nameOf(part)}”`);
  if (!unguarded.length) return html``;
  return html`<section class="part part--close"><h2>Not guarded</h2>
    <ul class="due">${unguarded.filter(toldOf).map(
      (part) =>
        html`<li><a class="due-card"
            href="${pageOf(rig, part) ?? `/rigs/${rig}/map/parts/${encodeURIComponent(part.id)}`}"><b>${nameOf(
              part,
            )}</b> <span>${toldOf(part)}</span></a></li>`,
    )}</ul>
    ${
      others.length
        ? html`<p>${
            unguarded.length > others.length ? "Also: " : ""
          }${others.join(", ")}: no ground-fault device before ${others.length > 1 ? "them" : "it"}.</p>`
        : ""
    }</section>`;
}

/**
 * @param {Contradiction[]} contradictions
 * @param {Map<string, string>} names
 * @param {string} rig
 */
export function contradictionList(contradictions, names, rig) {
  if (!contradictions.length) return html``;
  return html`<section class="part part--close"><h2>The map and the trips do not agree</h2>
    <ul class="rig-odd">${contradictions.map(
      (each) => html`<li>${each.mode ? `${each.mode}: ` : ""}${contradictionText(each, names)}</li>`,
    )}</ul>
    <p><a class="button button--quiet button--wide" href="/rigs/${rig}/map/advice">See what would explain
      it</a></p></section>`;
}

/**
 * Says what is wrong with feeds at once, of what, and what to do.
 * @param {Protection["stops"][number]} stop
 * @param {Map<string, string>} names
 */
function stopText({ id, part, among }, names) {
  const { says, now } = STOPS[id];
  const ends = among.map((each) => `“${names.get(each)}”`).join(", ");
  return `“${names.get(part)}” (${ends}): ${says} ${now}`;
}

/**
 * @param {[string, Protection["stops"]][]} byMode the stops of each mode
 * @param {Map<string, string>} names
 */
export function stopList(byMode, names) {
  const told = byMode.flatMap(([mode, stops]) => stops.map((stop) => ({ mode, text: stopText(stop, names) })));
  if (!told.length) return html``;
  const lines = told.map(({ mode, text }) => html`<li>${mode ? `${mode}: ` : ""}${text}</li>`);
  return html`<section class="part part--close"><h2>Do not switch it on so</h2>
    <ul class="rig-odd">${lines}</ul></section>`;
}

/** What the signs of the drawing mean. */
export const SIGNS = html`<ul class="rig-signs">
  <li><svg class="rig-map" viewBox="0 0 48 32"><g class="rig-map__box rig-map__box--guarded"><rect
    class="rig-map__frame" x="2" y="2" width="44" height="28" rx="6"/><rect class="rig-map__guard" fill="url(#guarded)"
      x="6" y="6" width="16" height="20" rx="3"/></g></svg>Hatched edge: guarded by a ground-fault device</li>
  <li><svg class="rig-map" viewBox="0 0 48 32"><g class="rig-map__box rig-map__box--unguarded"><rect
    class="rig-map__frame" x="2" y="2" width="44" height="28" rx="6"/><text class="rig-map__mark" x="10"
      y="26">!</text></g></svg>Mark: NOT guarded, or a trip test says so</li>
  <li><svg class="rig-map" viewBox="0 0 48 32"><g class="rig-map__box rig-map__box--device"><rect
    class="rig-map__frame" x="3" y="3" width="42" height="26" rx="6"/></g></svg>Heavy border: a ground-fault device</li>
  <li><svg class="rig-map" viewBox="0 0 48 32"><path class="rig-map__run rig-map__run--guarded" d="M0 16h48"/><path
    class="rig-map__core" d="M0 16h48"/></svg>Double line: a wire behind a ground-fault device</li>
  <li><svg class="rig-map" viewBox="0 0 48 32"><g class="rig-map__box rig-map__box--out"><rect class="rig-map__frame"
    x="2" y="2" width="44" height="28" rx="6"/></g></svg>Dashed: no feed in this mode</li>
</ul>`;
