import { loadDraft } from "../check/draft.js";
import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { discard, resend, restore } from "../outbox/mending.js";
import { allRows, changes, refusedRows, rowOf } from "../outbox/queue.js";
import { cardMarkup, discardedMarkup } from "../phone/card.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";

/** @import { html } from "../lib/html.js" */
/** @import { Row } from "../outbox/rows.js" */
/** @typedef {ReturnType<typeof html>} Markup */

/** The records that the server refused or fails on: each can be mended, sent again or discarded. */
export class FlTray extends HTMLElement {
  /** Rows as they were before they were discarded here. @type {Map<string, Row>} */
  #discarded = new Map();
  /** What each card shows, so that it is drawn anew only where that changes. @type {WeakMap<Element, string>} */
  #shown = new WeakMap();
  #latest = 0;
  /** @type {import("../phone/labels.js").Labels|undefined} */
  #labels;

  connectedCallback() {
    changes.addEventListener("changed", this);
    for (const type of ["click", "fl-mended", "fl-left"]) this.addEventListener(type, this);
    this.#refresh();
    rigRules().then((rules) => {
      this.#labels = rules?.labels;
      this.#refresh();
    });
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.type === "changed") this.#refresh();
    else if (event.type === "click") this.#tapped(/** @type {Element} */ (event.target).closest("[data-do]"));
    else this.#closed(/** @type {CustomEvent<{id: string}>} */ (event));
  }

  /** @param {HTMLElement|null} button */
  async #tapped(button) {
    /** @type {HTMLElement|null|undefined} */
    const card = button?.closest("[data-id]");
    const id = card?.dataset.id;
    if (!card || !id) return;
    try {
      if (button?.dataset.do === "mend") this.#mend(card);
      if (button?.dataset.do === "send") await this.#send(id);
      if (button?.dataset.do === "discard") await this.#discard(id);
      if (button?.dataset.do === "undo") await this.#undo(id);
    } catch (error) {
      console.error(error);
      this.#say("Not done: the phone’s storage refused it. Try again.");
    }
  }

  /** @param {HTMLElement} card */
  #mend(card) {
    if (formIn(card)) return;
    const about = { rowId: card.dataset.id, labels: this.#labels };
    card.append(Object.assign(document.createElement("fl-mend"), about));
  }

  /** @param {string} id */
  async #send(id) {
    await resend(id);
    await this.#follow(id);
  }

  /** @param {string} id */
  async #discard(id) {
    const row = await rowOf(id);
    if (row) this.#discarded.set(id, row);
    await discard([id]);
  }

  /** @param {string} id */
  async #undo(id) {
    const row = this.#discarded.get(id);
    if (row) await restore([row]);
    this.#discarded.delete(id);
    this.#say("It is back on this phone.");
    this.#refresh();
  }

  /** @param {CustomEvent<{id: string}>} event */
  async #closed({ type, target, detail }) {
    const form = /** @type {Element} */ (target);
    const card = form.closest("[data-id]");
    form.remove();
    if (card) this.#shown.delete(card);
    if (type === "fl-mended") await this.#follow(detail.id);
    else this.#refresh();
  }

  /** Says what became of a record that was queued again. @param {string} id */
  async #follow(id) {
    this.#say("Queued again; it is being sent.");
    await sync();
    const row = await rowOf(id);
    if (row?.saved === "refused") this.#say("The server refused it again; its card says why.");
    else if (row?.saved === "server") this.#say("It is on the server.");
    else this.#say("It is on this phone and is sent by itself.");
    this.#refresh();
  }

  async #refresh() {
    const turn = ++this.#latest;
    const [rows, refused] = await Promise.all([allRows(), refusedRows()]);
    if (turn !== this.#latest) return;
    const gone = [...this.#discarded.values()].filter(({ id }) => !refused.some((row) => row.id === id));
    const shown = [...refused, ...gone];
    for (const card of this.#cards)
      if (!formIn(card) && !shown.some(({ id }) => id === card.dataset.id)) this.#take(card);
    for (const row of shown)
      this.#draw(
        row,
        gone.includes(row) ? discardedMarkup(row, rows) : cardMarkup(row, rows, Date.now(), this.#labels),
      );
    this.#showOrHide();
  }

  /** A card whose form is open is left as it is: somebody is typing there. @param {Row} row @param {Markup} markup */
  #draw({ id }, markup) {
    const known = this.#cards.find(({ dataset }) => dataset.id === id);
    const card = known ?? this.#list.appendChild(document.createElement("li"));
    if (formIn(card) || this.#shown.get(card) === markup.text) return;
    const hadFocus = card.contains(document.activeElement);
    card.className = "tray__card";
    card.dataset.id = id;
    this.#shown.set(card, markup.text);
    show(card, markup);
    if (hadFocus) partOf(card, "h3").focus();
    if (!known) loadDraft(`mend:${id}`).then((draft) => draft && this.#mend(card));
  }

  /** @param {Element} card */
  #take(card) {
    const hadFocus = card.contains(document.activeElement);
    card.remove();
    if (hadFocus) partOf(this, "h2").focus();
  }

  /** @param {string} sentence */
  #say(sentence) {
    partOf(this, "[data-part=said]").textContent = sentence;
    this.#showOrHide();
  }

  /** What was said stays to be read when the last card has gone. */
  #showOrHide() {
    const isEmpty = !this.#list.children.length;
    this.hidden = isEmpty && !partOf(this, "[data-part=said]").textContent;
    partOf(this, "[data-part=about]").hidden = isEmpty;
  }

  get #list() {
    return partOf(this, "[data-part=list]");
  }

  get #cards() {
    return /** @type {HTMLElement[]} */ ([...this.#list.children]);
  }
}

/** @param {Element} card */
const formIn = (card) => card.querySelector("fl-mend");
