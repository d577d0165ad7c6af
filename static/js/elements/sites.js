import { broughtEngine, openRulebook } from "../check/engine.js";
import { AfterPaint } from "../lib/after-paint.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { newestRows } from "../outbox/newest.js";
import { allRows, changes, keep } from "../outbox/queue.js";
import { remember } from "../outbox/remembered.js";
import { hereNow, keepPosition, metresApart, positions } from "../sites/near.js";
import { listMarkup, placeMarkup } from "../sites/page.js";
import { isFound, lastYearAt, placesOf } from "../sites/places.js";
import { standing, sync } from "../sync/flush.js";
import { rulebook } from "../sync/rulebook.js";

/** @import { Position, Positions } from "../sites/near.js" */
/** @import { SiteCheck, Place } from "../sites/places.js" */

/** Own choice: a browser shares only soon after a tap. */
const SOON_MS = 3000;

/** The site book: pedestals met before, and one of them. The address says which. */
export class FlSites extends HTMLElement {
  /** @type {Place[]} */
  #places = [];
  /** @type {Positions} */
  #positions = {};
  /** @type {Position|null} */
  #here = null;
  #words = "";
  #isWhole = false;
  #shown = "";

  async connectedCallback() {
    for (const type of ["click", "input"]) this.addEventListener(type, this);
    window.addEventListener("hashchange", this);
    changes.addEventListener("changed", this);
    // The places met last are seen first, then the whole book; the engine tells what a load showed.
    await this.#load(newestRows);
    new AfterPaint().wait(async () => {
      await this.#load();
      if (!this.#places.length) await sync().then(() => this.#load());
      await openRulebook();
      this.#draw();
    });
  }

  disconnectedCallback() {
    window.removeEventListener("hashchange", this);
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "changed") this.#load();
    else if (type === "hashchange") this.#turned();
    else if (type === "input") this.#sought(/** @type {HTMLInputElement} */ (target));
    else this.#tapped(/** @type {Element} */ (target));
  }

  /** A store that does not open is not an empty book. */
  async #load(rows = allRows) {
    try {
      this.#places = placesOf(await rows());
      this.#isWhole = rows === allRows;
      this.#positions = await positions();
      this.#draw();
    } catch (error) {
      console.error(error);
      show(
        partOf(this, "[data-part=places]"),
        html`<p class="notice" role="alert">The book cannot be shown now: ${
          /** @type {Error} */ (error).message
        } Nothing of it was changed.</p>`,
      );
    }
  }

  get #place() {
    const key = new URLSearchParams(location.hash.slice(1)).get("place");
    return this.#places.find((place) => place.key === key) ?? null;
  }

  /** What stands on one place, and that there is none, is told by the whole book. */
  #draw() {
    if (!this.#isWhole && (location.hash || !this.#places.length)) return;
    const place = this.#place;
    partOf(this, "[data-part=head]").hidden = place !== null;
    const markup = place ? this.#placeMarkup(place) : this.#listMarkup();
    if (markup.text === this.#shown) return;
    const typed = this.#typed?.value;
    show(partOf(this, "[data-part=places]"), markup);
    if (this.#typed) this.#typed.value = typed ?? "";
    this.#shown = markup.text;
  }

  #listMarkup() {
    const here = this.#here;
    const known = here
      ? this.#places.flatMap(({ key }) => {
          const where = this.#positions[key];
          return where ? [/** @type {[string, number]} */ ([key, metresApart(here, where)])] : [];
        })
      : [];
    const away = new Map(known);
    const found = this.#places.filter((place) => isFound(place, this.#words));
    /** @param {Place} place */
    const far = ({ key }) => away.get(key) ?? Number.MAX_VALUE;
    return listMarkup(here ? found.sort((a, b) => far(a) - far(b)) : found, {
      lastYear: this.#words ? null : lastYearAt(this.#places, Date.now()),
      away,
      all: this.#places.length,
      isWhole: this.#isWhole,
    });
  }

  /** @param {Place} place */
  #placeMarkup(place) {
    return placeMarkup(place, {
      hasPosition: place.key in this.#positions,
      ohmsOf: (met) => this.#ohmsOf(met),
    });
  }

  /** @param {SiteCheck} met */
  #ohmsOf({ record }) {
    const book = rulebook();
    const loop = book ? broughtEngine().readOf(record.body.check, book).loop : null;
    return loop ? `${loop.value.toFixed(2)} ± ${loop.uncertainty.toFixed(2)} ohm` : null;
  }

  #turned() {
    this.#draw();
    window.scrollTo(0, 0);
    /** @type {HTMLElement|null} */
    const title = this.querySelector("[data-part=places] h1");
    title?.focus({ preventScroll: true });
  }

  /** @param {HTMLInputElement} field */
  #sought(field) {
    if (field.name !== "words") return;
    this.#words = field.value.trim();
    this.#draw();
  }

  /** @param {Element} target */
  async #tapped(target) {
    const place = this.#place;
    if (target.closest("[data-near]")) await this.#nearest();
    if (!place) return;
    if (target.closest("[data-check]")) await this.#check(place);
    if (target.closest("[data-note]")) await this.#note(place);
    if (target.closest("[data-share]")) await this.#share();
    if (target.closest("[data-copy]")) await this.#copy();
    if (target.closest("[data-here]")) await this.#keepHere(place);
    if (target.closest("[data-forget]")) {
      await keepPosition(place.key, null);
      await this.#load();
    }
  }

  async #nearest() {
    const said = partOf(this, "[data-part=near-said]");
    try {
      said.textContent = "Asking where you are…";
      this.#here = await hereNow();
      const count = this.#places.filter(({ key }) => key in this.#positions).length;
      said.textContent = count
        ? `Nearest first. Of ${count} of ${this.#places.length} places the position is kept.`
        : "No place has its position kept. Open one when you stand there, and keep it.";
      this.#draw();
    } catch (error) {
      said.textContent = `${/** @type {Error} */ (error).message} The places stay as they were.`;
    }
  }

  /** @param {Place} place */
  async #keepHere(place) {
    try {
      await keepPosition(place.key, await hereNow());
      await this.#load();
    } catch (error) {
      this.#say(/** @type {Error} */ (error).message);
    }
  }

  /** What the next check offers first is this place. @param {Place} place */
  async #check({ park, site }) {
    await remember({ "place.park": park, "place.site": site });
    location.assign("/arrive");
  }

  get #typed() {
    return /** @type {HTMLTextAreaElement|null} */ (this.querySelector("#note"));
  }

  /** What was typed goes once it is kept. @param {Place} place */
  async #note({ park, site }) {
    const field = partOf(this, "#note", HTMLTextAreaElement);
    const note = field.value.trim();
    if (!note) return;
    field.value = "";
    try {
      // Every member is present; written out, since what others make records by would cut up what pages share.
      await keep({
        ...{ id: uuid7(), kind: "site-note", rig: null, subject: null, instrument: null, corrects: null, reason: null },
        ...{ observed_at: localIso(new Date()), made_by: standing.name ?? "", body: { place: { park, site }, note } },
      });
      sync();
    } catch (error) {
      partOf(this, "#note", HTMLTextAreaElement).value = note;
      this.#say(`The note was not kept: ${/** @type {Error} */ (error).message} Try again.`);
    }
  }

  async #share() {
    if (!("share" in navigator)) return this.#copy();
    try {
      const files = await this.#pdf();
      const more = files && navigator.canShare?.({ files }) ? { files } : {};
      await navigator.share({ title: "Readings at a pedestal", text: this.#report.value, ...more });
    } catch (error) {
      if (/** @type {Error} */ (error).name !== "AbortError") this.#say("The browser did not hand it on. Copy it.");
    }
  }

  /** The page to print, drawn by the server; null without it, or where it is slow: then the text goes alone. */
  async #pdf() {
    try {
      const { href } = partOf(this, "[data-pdf]", HTMLAnchorElement);
      const answer = await fetch(href, { signal: AbortSignal.timeout(SOON_MS) });
      return answer.ok && !answer.redirected
        ? [new File([await answer.blob()], "readings.pdf", { type: "application/pdf" })]
        : null;
    } catch (error) {
      console.warn(error);
      return null;
    }
  }

  async #copy() {
    try {
      await navigator.clipboard.writeText(this.#report.value);
      this.#say("It is copied.");
    } catch (error) {
      console.warn(error);
      this.#report.select();
      this.#say("The browser did not copy it. It is marked: copy it by hand.");
    }
  }

  get #report() {
    return partOf(this, ".site-report", HTMLTextAreaElement);
  }

  /** @param {string} sentence */
  #say(sentence) {
    partOf(this, "[data-part=said]").textContent = sentence;
  }
}
