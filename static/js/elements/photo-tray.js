import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { discardPhoto, FRESH, notePhoto, photoAt, putBack } from "../outbox/photo-rows.js";
import { isWhole, unsentPhotos } from "../outbox/photos.js";
import { allRows, changes } from "../outbox/queue.js";
import { discardedPhotoMarkup, needsHand, photoCardMarkup } from "../phone/photo-card.js";
import { saveFile } from "../phone/save-file.js";
import { sendAll } from "../phone/send-all.js";

/** @import { html } from "../lib/html.js" */
/** @import { PhotoRow, StoredPhoto } from "../outbox/photos.js" */
/** @typedef {ReturnType<typeof html>} Markup */
/** @import { PhotoCard } from "../phone/photo-card.js" */

/** The photos that do not go by themselves: each can be sent again, saved to a file or discarded. */
export class FlPhotoTray extends HTMLElement {
  /**
   * What was discarded here: the row as it was, and what its card showed.
   * @type {Map<string, {row: StoredPhoto, photo: PhotoCard}>}
   */
  #discarded = new Map();
  /** Addresses of the pictures on screen. @type {Map<string, string|null>} */
  #pictures = new Map();
  /** What each card shows, so that it is drawn anew only where that changes. @type {WeakMap<Element, string>} */
  #shown = new WeakMap();
  #latest = 0;

  connectedCallback() {
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    // what cannot be drawn
    this.addEventListener("error", ({ target }) => /** @type {Element} */ (target).remove(), true);
    this.#refresh();
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
    for (const key of this.#pictures.keys()) this.#forget(key);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "changed") this.#refresh();
    else this.#tapped(/** @type {Element} */ (target).closest("[data-do]"));
  }

  /** @param {HTMLElement|null} button */
  async #tapped(button) {
    /** @type {HTMLElement|null|undefined} */
    const card = button?.closest("[data-key]");
    const key = card?.dataset.key;
    if (!key) return;
    try {
      if (button?.dataset.do === "send") await this.#send(key);
      if (button?.dataset.do === "save") await this.#save(key);
      if (button?.dataset.do === "discard") await this.#discard(key);
      if (button?.dataset.do === "undo") await this.#undo(key);
    } catch (error) {
      console.error(error);
      this.#say("Not done: the phone’s storage refused it. Try again.");
    }
  }

  /** @param {string} key */
  async #send(key) {
    await notePhoto(key, /** @type {Partial<PhotoRow>} */ (FRESH));
    this.#say("Queued again; it is being sent.");
    await sendAll();
    const { saved, tries } = (await photoAt(key)) ?? {};
    if (saved === "server") this.#say("It is on the server.");
    else if (saved === "phone" && !tries) this.#say("It is on this phone and is sent by itself.");
    else this.#say("It did not go; its card says why.");
  }

  /** @param {string} key */
  async #save(key) {
    const photo = await photoAt(key);
    if (!photo) return;
    const name = `fieldlog-photo-${photo.hash.slice(0, 12)}.${
      photo.type === "image/png" ? "png" : photo.type === "image/webp" ? "webp" : "jpg"
    }`;
    saveFile({ name, text: photo.data, type: "application/octet-stream" });
    this.#say(
      `Handed to the browser as ${name}. Look whether it is there before you rely on it. The photo stays here as well.`,
    );
  }

  /** @param {string} key */
  async #discard(key) {
    const shown = (await this.#photos()).find((photo) => photo.key === key);
    const row = await discardPhoto(key);
    if (row && shown) this.#discarded.set(key, { row, photo: shown });
    await this.#refresh();
  }

  /** @param {string} key */
  async #undo(key) {
    const gone = this.#discarded.get(key);
    if (gone) await putBack(gone.row);
    this.#discarded.delete(key);
    this.#say("It is back on this phone.");
    await this.#refresh();
  }

  /** @returns {Promise<PhotoCard[]>} */
  async #photos() {
    const [rows, { mine }] = await Promise.all([allRows(), unsentPhotos()]);
    const records = rows.flatMap(({ record }) => (record.kind === "photo" ? [record] : []));
    return mine
      .map((photo) => ({ ...photo, record: records.findLast(({ body }) => body.hash === photo.hash) ?? null }))
      .filter(needsHand);
  }

  async #refresh() {
    const turn = ++this.#latest;
    const photos = await this.#photos();
    for (const { key } of photos) if (!this.#pictures.has(key)) this.#pictures.set(key, await pictureOf(key));
    if (turn !== this.#latest) return;
    const gone = [...this.#discarded.values()]
      .map(({ photo }) => photo)
      .filter(({ key }) => !photos.some((photo) => photo.key === key));
    const shown = [...photos, ...gone];
    for (const card of this.#cards) if (!shown.some(({ key }) => key === card.dataset.key)) this.#take(card);
    for (const photo of photos)
      this.#draw(photo.key, photoCardMarkup(photo, this.#pictures.get(photo.key) ?? null, Date.now()));
    for (const photo of gone) this.#draw(photo.key, discardedPhotoMarkup(photo));
    this.#showOrHide();
  }

  /** @param {string} key @param {Markup} markup */
  #draw(key, markup) {
    const known = this.#cards.find(({ dataset }) => dataset.key === key);
    const card = known ?? this.#list.appendChild(document.createElement("li"));
    if (this.#shown.get(card) === markup.text) return;
    const hadFocus = card.contains(document.activeElement);
    card.className = "tray__card";
    card.dataset.key = key;
    this.#shown.set(card, markup.text);
    show(card, markup);
    if (hadFocus) partOf(card, "h3").focus();
  }

  /** @param {HTMLElement} card */
  #take(card) {
    const hadFocus = card.contains(document.activeElement);
    this.#forget(card.dataset.key ?? "");
    card.remove();
    if (hadFocus) partOf(this, "h2").focus();
  }

  /** @param {string} key */
  #forget(key) {
    const address = this.#pictures.get(key);
    this.#pictures.delete(key);
    if (address) URL.revokeObjectURL(address);
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

/**
 * @param {string} key
 * @returns {Promise<string|null>} an address for the bytes, where they are still those of the picture
 */
async function pictureOf(key) {
  const photo = await photoAt(key);
  return photo && isWhole(photo) ? URL.createObjectURL(new Blob([photo.data], { type: photo.type })) : null;
}
