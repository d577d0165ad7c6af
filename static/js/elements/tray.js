import { loadDraft } from "../check/draft.js";
import { show } from "../lib/html.js";
import { discard, resend, restore } from "../outbox/mending.js";
import { allRows, changes, refusedRows, rowOf } from "../outbox/queue.js";
import { cardMarkup, discardedMarkup } from "../phone/card.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";

/** The records that the server refused or fails on: each can be mended, sent again or discarded. */
export class FlTray extends HTMLElement {
  /** Rows as they were before they were discarded here. @type {Map<string, import("../outbox/queue.js").Row>} */
  #discarded = new Map();
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

  handleEvent(event) {
    if (event.type === "changed") this.#refresh();
    else if (event.type === "click") this.#tapped(event.target.closest("[data-do]"));
    else this.#closed(event);
  }

  async #tapped(button) {
    const card = button?.closest("[data-id]");
    if (!card) return;
    try {
      await this[button.dataset.do](card);
    } catch (error) {
      console.error(error);
      this.#say("Not done: the phone’s storage refused it. Try again.");
    }
  }

  mend(card) {
    const about = { rowId: card.dataset.id, labels: this.#labels };
    if (!formIn(card)) card.append(Object.assign(document.createElement("fl-mend"), about));
  }

  async send({ dataset: { id } }) {
    await resend(id);
    await this.#follow(id);
  }

  async discard({ dataset: { id } }) {
    const row = await rowOf(id);
    if (row) this.#discarded.set(id, row);
    await discard([id]);
  }

  async undo({ dataset: { id } }) {
    await restore([this.#discarded.get(id)]);
    this.#discarded.delete(id);
    this.#say("It is back on this phone.");
    this.#refresh();
  }

  async #closed({ type, target, detail }) {
    const card = target.closest("[data-id]");
    target.remove();
    card.shown = "";
    if (type === "fl-mended") await this.#follow(detail.id);
    else this.#refresh();
  }

  /** Says what became of a record that was queued again. */
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
    for (const card of [...this.#list.children])
      if (!formIn(card) && !shown.some(({ id }) => id === card.dataset.id)) this.#take(card);
    for (const row of shown)
      this.#draw(
        row,
        gone.includes(row) ? discardedMarkup(row, rows) : cardMarkup(row, rows, Date.now(), this.#labels),
      );
    this.#showOrHide();
  }

  /** A card whose form is open is left as it is: somebody is typing there. */
  #draw({ id }, markup) {
    const known = [...this.#list.children].find(({ dataset }) => dataset.id === id);
    const card = known ?? this.#list.appendChild(document.createElement("li"));
    if (formIn(card) || card.shown === markup.text) return;
    const hadFocus = card.contains(document.activeElement);
    card.className = "tray__card";
    card.dataset.id = id;
    card.shown = markup.text;
    show(card, markup);
    if (hadFocus) card.querySelector("h3").focus();
    if (!known) loadDraft(`mend:${id}`).then((draft) => draft && this.mend(card));
  }

  #take(card) {
    const hadFocus = card.contains(document.activeElement);
    card.remove();
    if (hadFocus) this.querySelector("h2").focus();
  }

  #say(sentence) {
    this.querySelector("[data-part=said]").textContent = sentence;
    this.#showOrHide();
  }

  /** What was said stays to be read when the last card has gone. */
  #showOrHide() {
    const isEmpty = !this.#list.children.length;
    this.hidden = isEmpty && !this.querySelector("[data-part=said]").textContent;
    this.querySelector("[data-part=about]").hidden = isEmpty;
  }

  get #list() {
    return this.querySelector("[data-part=list]");
  }
}

const formIn = (card) => card.querySelector("fl-mend");
