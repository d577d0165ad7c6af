import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { dayOf, spokenDay } from "../lib/times.js";
import { newestRows } from "../outbox/newest.js";
import { changes } from "../outbox/rows.js";
import { PATTERN, rigDrawing } from "../rig/drawing.js";
import { card, contradictionList, drawingWords, pageOf, SIGNS, stopList, unguardedList } from "../rig/drawing-words.js";
import { judgedMap } from "../rig/judged.js";
import { rigsOf } from "../rig/rig-of.js";
import { namesOf } from "../rig/words.js";
import { sync } from "../sync/flush.js";

/** @import { BodyRigMap } from "../../../schemas/shapes/record.d.ts" */
/** @import { JudgedMode } from "../rig/judged.js" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */
/** @import { ModeWords } from "../rig/words.js" */
/** @typedef {"smaller"|"larger"|"whole"} Zoom */

const STEP = 1.25;
const [LEAST, MOST] = [0.85, 1.4]; // how large the drawing is at first, where it could fill the page
const LARGEST = 4;

/** A rig's map: the drawing, and the same in words. The rig's id stands in the address. */
export class FlRigMap extends HTMLElement {
  #rig = (location.pathname.split("/")[2] ?? "").toLowerCase();
  #mode = "";
  /** @type {number|null} as chosen; null: as wide as the page, if that can be read */
  #scale = null;
  #shown = "";
  /** @type {{map: BodyRigMap, known: ModeWords}|null} */
  #drawn = null;

  async connectedCallback() {
    this.addEventListener("click", this);
    this.addEventListener("change", this);
    changes.addEventListener("changed", this);
    window.addEventListener("resize", this);
    if (!(await this.#refresh())) await sync().then(() => this.#refresh());
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
    window.removeEventListener("resize", this);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "changed") this.#refresh();
    else if (type === "resize") this.#size();
    else if (type === "click") this.#tapped(/** @type {Element} */ (target));
    else if (target instanceof HTMLInputElement && target.name === "mode") {
      this.#mode = target.value;
      this.#refresh();
    }
  }

  /** @param {Element} target */
  #tapped(target) {
    /** @type {SVGElement|null} */
    const part = target.closest(".rig-map [data-part]");
    /** @type {HTMLElement|null} */
    const zoom = target.closest("[data-zoom]");
    if (part) this.#open(part.dataset.part ?? "");
    if (zoom) this.#zoom(/** @type {Zoom} */ (zoom.dataset.zoom));
    if (target.closest("[data-close]")) partOf(this, "dialog", HTMLDialogElement).close();
  }

  /** @returns {Promise<boolean>} whether the rig is on this phone */
  async #refresh() {
    const rig = rigsOf(await newestRows()).find(({ id }) => id === this.#rig);
    const page = rig ? this.#page(rig) : UNKNOWN;
    if (page.text === this.#shown) return Boolean(rig);
    this.#shown = page.text;
    const focused = this.querySelector("[name=mode]:focus") !== null;
    show(this, page);
    this.#size();
    if (focused) partOf(this, "[name=mode]:checked").focus({ preventScroll: true });
    return Boolean(rig);
  }

  /** @param {Rig} rig */
  #page(rig) {
    const { map, modes, contradictions, ...about } = judgedMap(rig);
    if (!(this.#mode in modes)) [this.#mode = ""] = Object.keys(modes);
    const names = namesOf(map);
    const known = {
      .../** @type {JudgedMode} */ (modes[this.#mode]),
      names,
      without: map.modes[this.#mode]?.without ?? [],
      contradictions: contradictions.filter(({ mode }) => mode === this.#mode),
    };
    this.#drawn = { map, known };
    return html`<h1>Map: ${rig.name}</h1>${PATTERN}
      ${modeChoice(Object.keys(modes), this.#mode)}
      ${stopList(
        Object.entries(modes).map(([mode, { stops }]) => [mode, stops]),
        names,
      )}
      <section class="part part--close"><h2 class="visually-hidden">Drawing</h2>
        <p class="hint no-print">Tap a part for its page.</p>
        <div class="rig-map-frame" tabindex="0" role="group"
          aria-label="The drawing; it may scroll sideways">${rigDrawing(map, known)}</div>
        <div class="actions rig-map-zoom">${ZOOMS.map(
          ([how, word]) => html`<button type="button" class="button button--quiet" data-zoom="${how}">${word}</button>`,
        )}</div>${SIGNS}${origin(about)}
        <p class="rig-text__ways"><a class="button"
          href="/rigs/${rig.id}/map/parts/new">Add an outlet or part</a></p></section>
      ${contradictionList(contradictions, names, rig.id)}
      ${unguardedList(map, known, rig.id)}
      <section class="part part--close"><h2>The same in words</h2>${drawingWords(map, known, rig.id)}</section>
      <p class="rig-text__ways"><a class="button button--quiet"
        href="/rigs/${rig.id}/map/table">All of it as a table</a> <a
        class="button button--quiet" href="/rigs/${rig.id}/map/versions">Its versions</a> <a
          class="button button--quiet" href="/rigs/${rig.id}/map/advice">What the map says</a> <a
            class="button button--quiet" href="/rigs/${rig.id}">The rig</a></p>
      <dialog class="rig-part" aria-label="A part of the rig"></dialog>`;
  }

  /** What has a page of its own is opened; of the rest a panel tells. @param {string} id */
  #open(id) {
    const { map, known } = this.#drawn ?? {};
    const part = map?.parts.find((each) => each.id === id);
    if (!map || !known || !part) return;
    const page = pageOf(this.#rig, part);
    if (page) return location.assign(page);
    const panel = partOf(this, "dialog", HTMLDialogElement);
    show(
      panel,
      html`${card(part, map, { known, rig: this.#rig, head: "h2" })}<button type="button" class="button button--main"
        data-close>Close</button>`,
    );
    panel.showModal();
  }

  get #svg() {
    return /** @type {SVGSVGElement|null} */ (this.querySelector("svg.rig-map[data-width]"));
  }

  /** How large the drawing is where it fills the page. */
  get #filling() {
    return partOf(this, ".rig-map-frame").clientWidth / Number(this.#svg?.dataset.width);
  }

  get #whole() {
    return Math.min(this.#filling, (0.75 * window.innerHeight) / Number(this.#svg?.dataset.height));
  }

  #size() {
    const svg = this.#svg;
    if (!svg) return;
    const scale = this.#scale ?? Math.min(MOST, Math.max(LEAST, this.#filling));
    svg.style.inlineSize = `${Math.round(scale * Number(svg.dataset.width))}px`;
  }

  /** What is in the middle of the screen stays there. @param {Zoom} how */
  #zoom(how) {
    const frame = partOf(this, ".rig-map-frame");
    const svg = partOf(this, "svg.rig-map[data-width]", SVGSVGElement);
    const before = svg.getBoundingClientRect();
    const [x, y] = [frame.getBoundingClientRect().left + frame.clientWidth / 2, window.innerHeight / 2];
    const [right, down] = [
      (x - before.left) / before.width,
      Math.min(1, Math.max(0, (y - before.top) / before.height)),
    ];
    const now = before.width / Number(svg.dataset.width);
    const scales = {
      larger: Math.min(now * STEP, LARGEST),
      smaller: Math.max(now / STEP, Math.min(this.#whole, now)),
      whole: this.#whole,
    };
    this.#scale = scales[how];
    this.#size();
    const after = svg.getBoundingClientRect();
    frame.scrollLeft += after.left + right * after.width - x;
    window.scrollBy(0, after.top + down * after.height - (before.top + down * before.height));
  }
}

/** @type {[Zoom, string][]} */
const ZOOMS = [
  ["smaller", "Smaller"],
  ["larger", "Larger"],
  ["whole", "Whole"],
];

const UNKNOWN = html`<h1>Map of a rig</h1><p class="notice">This rig is not on this phone. Sign in to the account that
  holds it. <a class="button button--quiet" href="/sign-in">Sign in</a></p>`;

/** @param {{drawn: Chain<"rig-map">|null}} about */
function origin({ drawn }) {
  if (drawn) return html`<p class="hint">As drawn on ${spokenDay(dayOf(drawn.record.observed_at))}. </p>`;
  return html`<p class="notice">Drawn from your list: nobody has drawn this map yet. Which wire feeds what may differ.
    Any part that you add or change makes it your own.</p>`;
}

/** @param {string[]} modes @param {string} chosen */
function modeChoice(modes, chosen) {
  if (modes.length < 2) return html``;
  return html`<fieldset class="field choices choices--2"><legend>Mode</legend><div class="choices__options">${modes.map(
    (mode) =>
      html`<label class="choice"><input type="radio" name="mode" value="${mode}"${
        mode === chosen ? html` checked` : ""
      }><span class="choice__label">${mode}</span></label>`,
  )}</div></fieldset>`;
}
