import { levelOf } from "../lib/ages.js";
import { html, show } from "../lib/html.js";
import { waitingMarkup } from "../lib/waiting.js";
import { get } from "../outbox/db.js";
import { newestRows } from "../outbox/newest.js";
import { unsentPhotos } from "../outbox/photos.js";
import { changes, oldestUnsent, unsentRows } from "../outbox/queue.js";
import { standing, sync } from "../sync/flush.js";

/** @import { Row } from "../outbox/rows.js" */
/**
 * @typedef {[Row[], Awaited<ReturnType<typeof unsentPhotos>>["mine"], number|null, string]} Look rows, photos, since
 *   when, and what the server has forgotten
 */

const LOOK_MS = 60000;
/** @type {Look} */
const NOTHING = [[], [], null, ""];

/**
 * Says how much is on this phone only, for how long, and why it is not on the server yet. With `always` it does so from
 * the first record on; without, only once the oldest has waited for more than a day.
 */
export class FlWaiting extends HTMLElement {
  /** @type {ReturnType<typeof setInterval>|undefined} */
  #timer;
  #shown = "";

  connectedCallback() {
    standing.addEventListener("changed", this);
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    this.#timer = setInterval(() => this.#refresh(), LOOK_MS);
    this.#refresh();
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
    changes.removeEventListener("changed", this);
    clearInterval(this.#timer);
  }

  /** @param {Event} event @returns {unknown} */
  handleEvent({ type, target }) {
    if (type === "changed") return this.#refresh();
    const button = /** @type {Element} */ (target).closest("button");
    if (button && "save" in button.dataset) this.#save();
    if (button && "try" in button.dataset) sync();
  }

  async #refresh() {
    const [rows, photos, since, forgot] = await this.#look().catch(() => NOTHING);
    const now = Date.now();
    const level = levelOf(since, now);
    const isAlways = this.hasAttribute("always");
    this.dataset.level = level;
    const all = [...rows, ...photos];
    const isHere = location.pathname === "/phone"; // which says by itself what the server has forgotten
    const isSaid = Boolean(forgot) && !isHere;
    const isCounted = all.length > 0 && (level !== "none" || isAlways);
    this.hidden = !isSaid && !isCounted;
    if (this.hidden) return;
    const refused = all.filter(({ saved }) => saved !== "phone").length;
    const failing = all.filter(({ saved, tries }) => saved === "phone" && tries).length;
    const markup = waitingMarkup(
      { count: rows.length, photos: photos.length, refused, failing, since, level, standing },
      { now, isShort: !isAlways, isHere, forgot: isSaid ? forgot : "" },
    );
    if (markup.text === this.#shown) return;
    this.#shown = markup.text;
    show(this, markup);
  }

  /** @returns {Promise<Look>} */
  async #look() {
    const newest = newestRows();
    const [rows, { mine }] = await Promise.all([unsentRows(newest), unsentPhotos()]);
    const since = mine.length ? oldestUnsent(mine) : oldestUnsent(mine, newest);
    return [rows, mine, await since, await forgotWords()];
  }

  /** One tap, with or without the server: the file is made here. */
  async #save() {
    try {
      const [{ exportFile }, { saveFile }] = await Promise.all([
        import("../outbox/written-file.js"),
        import("../phone/save-file.js"),
      ]);
      const file = await exportFile({ all: false });
      saveFile(file);
      this.#say(`Handed to the browser as ${file.name}. The records stay here as well.`);
    } catch (error) {
      console.error(error);
      this.#say("The file could not be made. The records are still here; try again, or write them down.");
    }
  }

  /** @param {string} sentence */
  #say(sentence) {
    this.querySelector(".alarm__said")?.remove();
    const place = Object.assign(document.createElement("p"), { className: "alarm__said" });
    this.append(place);
    show(place, html`${sentence}`);
  }
}

/** @returns {Promise<string>} what every page says where a server does not know what it once had */
async function forgotWords() {
  const [lost, aside = [], account] = await Promise.all([
    get("kept", "lost"),
    get("kept", "aside"),
    get("kept", "account"),
  ]);
  if (lost) return "The server no longer held all that it had confirmed to this phone.";
  if (aside.some(({ name }) => name === account))
    return "What an earlier account of this name had here is not in this log. You can take it over.";
  return "";
}
