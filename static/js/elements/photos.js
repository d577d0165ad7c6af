import { record } from "../check/log-record.js";
import { photoFrom } from "../check/photo.js";
import { madeBy } from "../check/saving.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { localIso, spoken } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { chains } from "../outbox/chains.js";
import { isWhole, keepPhoto, photoRecords, photoWithHash } from "../outbox/photos.js";
import { allRows, changes } from "../outbox/queue.js";
import { savedMarkup } from "../outbox/saved.js";
import { sync } from "../sync/flush.js";

/** @import { RecordPhoto } from "../../../schemas/shapes/record.d.ts" */
/** @import { Photo, PhotoRow } from "../outbox/photos.js" */
/** @import { Row } from "../outbox/rows.js" */

const FULL = "The photo does not fit on this phone; all that was noted is kept.";
const NOT_KEPT = "The photo was not kept: the phone’s storage refused it. All that was noted is kept.";
const ELSEWHERE = "This photo is not on this phone, and the server does not show it now.";

/** The photos of one record, and the offer to add some. Nothing about a photo ever touches the record itself. */
export class FlPhotos extends HTMLElement {
  /** @type {string|null} */
  #id = null;
  /** @type {Row[]} */
  #chain = [];
  #shown = "";
  /** @type {string[]} addresses of the pictures on screen */
  #pictures = [];
  /** @type {Promise<unknown>} */
  #work = Promise.resolve();

  connectedCallback() {
    for (const type of ["change", "input", "keydown"]) this.addEventListener(type, this);
    this.addEventListener("error", this, true);
    changes.addEventListener("changed", this);
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
    this.#forget();
  }

  /** @param {string|null} id a record that is on this phone; null while there is none */
  about(id) {
    this.hidden = id === null;
    if (this.#id === id) return;
    this.#id = id;
    this.#tell("");
    this.#next(() => this.#refresh());
  }

  /** @param {Event} event */
  handleEvent(event) {
    const { target } = event;
    if (target === changes) {
      this.#next(() => this.#refresh());
      return;
    }
    event.stopPropagation(); // none of the check's own entries
    const field = target instanceof HTMLInputElement ? target : null;
    if (event.type === "change" && field?.type === "file") this.#take(field);
    else if (event instanceof KeyboardEvent && event.key === "Enter" && field?.type === "text") event.preventDefault();
    else if (event.type === "error") /** @type {Element} */ (target).replaceWith(ELSEWHERE);
  }

  /** One thing after the other, and a failure of one stops no other. @param {() => unknown} work */
  #next(work) {
    this.#work = this.#work.then(work).catch((error) => console.error(error));
  }

  /** @param {HTMLInputElement} input */
  #take(input) {
    const file = input.files?.[0];
    if (!file || !this.#id) return;
    this.#tell("Keeping the photo…");
    this.#next(async () => {
      this.#tell(await this.#keep(file));
      input.value = "";
    });
  }

  /** @param {File} file @returns {Promise<string>} what to say of it */
  async #keep(file) {
    const words = partOf(this, "[data-part=what]", HTMLInputElement);
    try {
      const photo = await photoFrom(file);
      await this.#note(photo, words.value.trim());
    } catch (error) {
      console.warn(error);
      const { name, message } = /** @type {Error} */ (error);
      if (name === "QuotaExceededError") return FULL;
      return error instanceof DOMException ? NOT_KEPT : message;
    }
    words.value = "";
    sync();
    return "The photo is kept.";
  }

  /** @param {Photo} photo @param {string} what */
  async #note({ data, ...about }, what) {
    const [known] = this.#chain;
    await this.#load();
    const { id: subject, record: first, account } = /** @type {Row} */ (this.#chain[0] ?? known);
    const noted = {
      id: uuid7(),
      kind: /** @type {const} */ ("photo"),
      rig: first.rig,
      subject,
      observed_at: localIso(new Date()),
      made_by: await madeBy(),
      body: { ...about, what },
    };
    await keepPhoto({ ...about, data }, /** @type {RecordPhoto} */ (record(noted)), account);
  }

  async #load() {
    const rows = await allRows();
    this.#chain = chains(rows).find((chain) => chain.some(({ id }) => id === this.#id)) ?? [];
    return rows;
  }

  async #refresh() {
    const rows = await this.#load();
    const noted = photoRecords(
      rows,
      this.#chain.map(({ id }) => id),
    );
    const photos = await Promise.all(noted.map(async (row) => ({ row, photo: await photoWithHash(bodyOf(row).hash) })));
    const now = JSON.stringify([
      this.#id,
      ...photos.map(({ row, photo }) => [row.id, row.saved, photo?.saved ?? null, photo?.tries]),
    ]);
    if (now === this.#shown) return;
    this.#forget();
    this.#shown = now;
    show(partOf(this, "[data-part=list]"), html`${photos.map((each) => this.#figure(each))}`);
  }

  /** @param {{row: Row, photo: PhotoRow|undefined}} each */
  #figure({ row, photo }) {
    const { hash, width, height, what } = bodyOf(row);
    const isDamaged = photo && (photo.saved === "damaged" || !isWhole(photo));
    const said = isDamaged
      ? html`<p class="notice"
        data-photo="damaged">${photo.problems[0]?.problem ?? "The photo is damaged on this phone. Take it again."}</p>`
      : html`<img class="photo__picture" src="${this.#address(photo, hash)}" width="${width}" height="${height}"
        alt="${what || "Photo without words"}">`;
    const saved =
      row.saved === "server" && photo
        ? { ...row, saved: /** @type {Row["saved"]} */ (photo.saved), problems: photo.problems, tries: photo.tries }
        : row;
    return html`<figure class="photo">${said}<figcaption>${
      what ? html`${what} · ` : ""
    }${spoken(row.record.observed_at)}${isDamaged ? "" : html` · ${savedMarkup(saved)}`}</figcaption></figure>`;
  }

  /**
   * @param {PhotoRow|undefined} photo
   * @param {string} hash
   * @returns {string} of the bytes here, or else of the server's
   */
  #address(photo, hash) {
    if (!photo) return `/api/photos/${hash}`;
    const address = URL.createObjectURL(new Blob([photo.data], { type: photo.type }));
    this.#pictures.push(address);
    return address;
  }

  #forget() {
    for (const address of this.#pictures.splice(0)) URL.revokeObjectURL(address);
  }

  /** @param {string} sentence */
  #tell(sentence) {
    partOf(this, "[data-part=photo-told]").textContent = sentence;
  }
}

/** @param {Row} row of a photo */
const bodyOf = (row) => /** @type {RecordPhoto} */ (row.record).body;
