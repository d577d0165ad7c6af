import { show } from "../lib/html.js";
import { discardPhoto, FRESH, notePhoto, photoAt, putBack } from "../outbox/photo-rows.js";
import { isWhole, unsentPhotos } from "../outbox/photos.js";
import { allRows, changes } from "../outbox/queue.js";
import { discardedPhotoMarkup, needsHand, photoCardMarkup } from "../phone/photo-card.js";
import { saveFile } from "../phone/save-file.js";
import { sendAll } from "../phone/send-all.js";

/** The photos that do not go by themselves: each can be sent again, saved to a file or discarded. */
export class FlPhotoTray extends HTMLElement {
  /**
   * What was discarded here: the row as it was, and what its card showed.
   * @type {Map<string, {row: Record<string, any>, photo: import("../phone/photo-card.js").Shown}>}
   */
  #discarded = new Map();
  /** Addresses of the pictures on screen. @type {Map<string, string|null>} */
  #pictures = new Map();
  #latest = 0;

  connectedCallback() {
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    this.addEventListener("error", ({ target }) => target.remove(), true); // what the browser cannot draw
    this.#refresh();
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
    for (const key of this.#pictures.keys()) this.#forget(key);
  }

  handleEvent(event) {
    if (event.type === "changed") this.#refresh();
    else this.#tapped(event.target.closest("[data-do]"));
  }

  async #tapped(button) {
    const card = button?.closest("[data-key]");
    if (!card) return;
    try {
      await this[button.dataset.do](card.dataset.key);
    } catch (error) {
      console.error(error);
      this.#say("Not done: the phone’s storage refused it. Try again.");
    }
  }

  async send(key) {
    await notePhoto(key, FRESH);
    this.#say("Queued again; it is being sent.");
    await sendAll();
    const { saved, tries } = (await photoAt(key)) ?? {};
    if (saved === "server") this.#say("It is on the server.");
    else if (saved === "phone" && !tries) this.#say("It is on this phone and is sent by itself.");
    else this.#say("It did not go; its card says why.");
  }

  async save(key) {
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

  async discard(key) {
    const shown = (await this.#photos()).find((photo) => photo.key === key);
    const row = await discardPhoto(key);
    if (row && shown) this.#discarded.set(key, { row, photo: shown });
    await this.#refresh();
  }

  async undo(key) {
    await putBack(this.#discarded.get(key).row);
    this.#discarded.delete(key);
    this.#say("It is back on this phone.");
    await this.#refresh();
  }

  /** @returns {Promise<import("../phone/photo-card.js").Shown[]>} */
  async #photos() {
    const [rows, { mine }] = await Promise.all([allRows(), unsentPhotos()]);
    const records = rows.map(({ record }) => record).filter(({ kind }) => kind === "photo");
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
    for (const card of [...this.#list.children])
      if (!shown.some(({ key }) => key === card.dataset.key)) this.#take(card);
    for (const photo of photos)
      this.#draw(photo.key, photoCardMarkup(photo, this.#pictures.get(photo.key), Date.now()));
    for (const photo of gone) this.#draw(photo.key, discardedPhotoMarkup(photo));
    this.#showOrHide();
  }

  #draw(key, markup) {
    const known = [...this.#list.children].find(({ dataset }) => dataset.key === key);
    const card = known ?? this.#list.appendChild(document.createElement("li"));
    if (card.shown === markup.text) return;
    const hadFocus = card.contains(document.activeElement);
    card.className = "tray__card";
    card.dataset.key = key;
    card.shown = markup.text;
    show(card, markup);
    if (hadFocus) card.querySelector("h3").focus();
  }

  #take(card) {
    const hadFocus = card.contains(document.activeElement);
    this.#forget(card.dataset.key);
    card.remove();
    if (hadFocus) this.querySelector("h2").focus();
  }

  #forget(key) {
    const address = this.#pictures.get(key);
    this.#pictures.delete(key);
    if (address) URL.revokeObjectURL(address);
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

/**
 * @param {string} key
 * @returns {Promise<string|null>} an address for the bytes, where they are still those of the picture
 */
async function pictureOf(key) {
  const photo = await photoAt(key);
  return photo && isWhole(photo) ? URL.createObjectURL(new Blob([photo.data], { type: photo.type })) : null;
}
