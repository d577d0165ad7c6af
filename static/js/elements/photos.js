import { photoFrom } from "../check/photo.js";
import { record } from "../check/record.js";
import { madeBy } from "../check/saving.js";
import { html, show } from "../lib/html.js";
import { localIso, spoken } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { chains } from "../outbox/chains.js";
import { isWhole, keepPhoto, photoRecords, photoWithHash } from "../outbox/photos.js";
import { allRows, changes } from "../outbox/queue.js";
import { savedMarkup } from "../outbox/saved.js";
import { sync } from "../sync/flush.js";

const FULL = "The photo does not fit on this phone; all that was noted is kept.";
const NOT_KEPT = "The photo was not kept: the phone’s storage refused it. All that was noted is kept.";
const ELSEWHERE = "This photo is not on this phone, and the server does not show it now.";

/** The photos of one record, and the offer to add some. Nothing about a photo ever touches the record itself. */
export class FlPhotos extends HTMLElement {
  /** @type {string|null} */
  #id = null;
  /** @type {import("../outbox/queue.js").Row[]} */
  #chain = [];
  #shown = "";
  /** @type {string[]} addresses of the pictures on screen */
  #pictures = [];
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
    if (event.target !== changes) event.stopPropagation(); // none of the check's own entries
    if (event.target === changes) this.#next(() => this.#refresh());
    else if (event.type === "change" && event.target.type === "file") this.#take(event.target);
    else if (event.type === "keydown" && event.key === "Enter" && event.target.type === "text") event.preventDefault();
    else if (event.type === "error") event.target.replaceWith(ELSEWHERE);
  }

  /** One thing after the other, and a failure of one stops no other. */
  #next(work) {
    this.#work = this.#work.then(work).catch((error) => console.error(error));
  }

  #take(input) {
    const file = input.files?.[0];
    if (!file || !this.#id) return;
    this.#tell("Keeping the photo…");
    this.#next(async () => {
      this.#tell(await this.#keep(file));
      input.value = "";
    });
  }

  /** @returns {Promise<string>} what to say of it */
  async #keep(file) {
    const words = this.querySelector("[data-part=what]");
    try {
      const photo = await photoFrom(file);
      await this.#note(photo, words.value.trim());
    } catch (error) {
      console.warn(error);
      if (error?.name === "QuotaExceededError") return FULL;
      return error instanceof DOMException ? NOT_KEPT : error.message;
    }
    words.value = "";
    sync();
    return "The photo is kept.";
  }

  /** @param {import("../outbox/photos.js").Photo} photo @param {string} what */
  async #note({ data, ...about }, what) {
    const [known] = this.#chain;
    await this.#load();
    const { id: subject, record: first, account } = this.#chain[0] ?? known;
    const noted = {
      id: uuid7(),
      kind: "photo",
      rig: first.rig,
      subject,
      observed_at: localIso(new Date()),
      made_by: await madeBy(),
      body: { ...about, what },
    };
    await keepPhoto({ ...about, data }, record(noted), account);
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
    const photos = await Promise.all(
      noted.map(async (row) => ({ row, photo: await photoWithHash(row.record.body.hash) })),
    );
    const now = JSON.stringify([
      this.#id,
      ...photos.map(({ row, photo }) => [row.id, row.saved, photo?.saved ?? null, photo?.tries]),
    ]);
    if (now === this.#shown) return;
    this.#forget();
    this.#shown = now;
    show(this.querySelector("[data-part=list]"), html`${photos.map((each) => this.#figure(each))}`);
  }

  #figure({ row, photo }) {
    const { hash, width, height, what } = row.record.body;
    const isDamaged = photo && (photo.saved === "damaged" || !isWhole(photo));
    const said = isDamaged
      ? html`<p class="notice"
        data-photo="damaged">${photo.problems[0]?.problem ?? "The photo is damaged on this phone. Take it again."}</p>`
      : html`<img class="photo__picture" src="${this.#address(photo, hash)}" width="${width}" height="${height}"
        alt="${what || "Photo without words"}">`;
    const saved =
      row.saved === "server" && photo
        ? { ...row, saved: photo.saved, problems: photo.problems, tries: photo.tries }
        : row;
    return html`<figure class="photo">${said}<figcaption>${
      what
        ? html`${what} ·
      `
        : ""
    }${spoken(row.record.observed_at)}${isDamaged ? "" : html` · ${savedMarkup(saved)}`}</figcaption></figure>`;
  }

  /** @returns {string} of the bytes here, or else of the server's */
  #address(photo, hash) {
    if (!photo) return `/api/photos/${hash}`;
    const address = URL.createObjectURL(new Blob([photo.data], { type: photo.type }));
    this.#pictures.push(address);
    return address;
  }

  #forget() {
    for (const address of this.#pictures.splice(0)) URL.revokeObjectURL(address);
  }

  #tell(sentence) {
    this.querySelector("[data-part=photo-told]").textContent = sentence;
  }
}
