import { counted, countedBoth } from "../lib/ages.js";
import { clockWords } from "../lib/clocks.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { asideHere, takeAsideIn } from "../outbox/aside.js";
import { get, remove } from "../outbox/db.js";
import { unsentPhotos } from "../outbox/photos.js";
import { allRows, changes, lockedCounts, unsentRows } from "../outbox/queue.js";
import { standing, sync } from "../sync/flush.js";

/** @import { LostPhoto } from "../outbox/stores.js" */

/** What is on this phone, beside what waits: how much, what lies locked for others, and whether its clock is right. */
export class FlPhone extends HTMLElement {
  /** What each part shows. @type {Record<string, string|undefined>} */
  #drawn = {};

  connectedCallback() {
    standing.addEventListener("changed", this);
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    this.#refresh();
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  async handleEvent({ type, target }) {
    if (type === "changed") return this.#refresh();
    const button = /** @type {Element} */ (target).closest("button");
    if (!button) return;
    if ("take" in button.dataset) await takeAsideIn();
    if ("take" in button.dataset) sync();
    if ("read" in button.dataset) await Promise.all([remove("kept", "lost"), remove("kept", "gone")]);
    await this.#refresh();
  }

  async #refresh() {
    try {
      const [rows, unsent, photos, locked, clock, lost, gone, aside] = await Promise.all([
        allRows(),
        unsentRows(),
        unsentPhotos(),
        lockedCounts(),
        get("kept", "clock"),
        get("kept", "lost"),
        get("kept", "gone"),
        asideHere(),
      ]);
      this.#say("standing", held(rows.length, unsent.length, photos.mine.length));
      const others = photos.others.filter(({ account }) => !aside.labels.includes(account ?? ""));
      const othersLocked = locked.filter(({ account }) => !aside.labels.includes(account));
      this.#say("locked", lockedWords(othersLocked, others));
      this.#draw("lost", lostMarkup(rows.filter(({ again }) => again).length, lost, gone ?? []));
      this.#draw("aside", asideMarkup(aside, standing.name));
      this.#say("clock", clockSentence(clock));
    } catch (error) {
      console.error(error);
      this.#say(
        "standing",
        "This phone’s store does not open, so nothing can be said of what is in it. Close other pages of this " +
          "site and open this one again.",
      );
    }
  }

  /** @param {string} part @param {import("../lib/html.js").Markup|null} markup */
  #draw(part, markup) {
    const place = partOf(this, `[data-part=${part}]`);
    place.hidden = !markup;
    if (markup?.text === this.#drawn[part]) return;
    this.#drawn[part] = markup?.text;
    show(place, markup ?? html``);
  }

  /** @param {string} part @param {string} sentence */
  #say(part, sentence) {
    const place = partOf(this, `[data-part=${part}]`);
    if (place.textContent !== sentence) place.textContent = sentence;
    place.hidden = !sentence;
  }
}

/** @param {number} count @param {number} unsent @param {number} photos */
function held(count, unsent, photos) {
  if (photos)
    return `${counted(count, "record")} on this phone, ${
      unsent ? count - unsent || "none" : "all"
    } of them on the server; ${counted(photos, "photo")} ${photos === 1 ? "is" : "are"} on this phone only.`;
  if (!count) return "There is no record of yours on this phone.";
  if (!unsent)
    return `Nothing waits here: ${counted(count, "record")}, ${count === 1 ? "and it is" : "all"} on the server.`;
  return `${counted(count, "record")} on this phone, ${count - unsent || "none"} of them on the server.`;
}

/**
 * Says that the server lacks what it had confirmed, and what became of that.
 * @param {number} waiting
 * @param {{at: string, records: number}|undefined} lost
 * @param {LostPhoto[]} gone
 */
function lostMarkup(waiting, lost, gone) {
  if (!waiting && !lost) return null;
  const sent = lost?.records ?? 0;
  return html`<p>The server no longer held all that it had confirmed to this phone: an earlier state of it may have been
    put back. ${
      waiting
        ? `${counted(waiting, "record")} of that ${waiting === 1 ? "is" : "are"} marked as on this
    phone again and ${waiting === 1 ? "goes" : "go"} by ${waiting === 1 ? "itself" : "themselves"}.`
        : ""
    } ${sent ? `${counted(sent, "record")} ${sent === 1 ? "was" : "were"} sent again.` : ""}</p>
    ${
      gone.length
        ? html`<p>${counted(gone.length, "photo")} ${gone.length === 1 ? "is" : "are"} neither on the server nor on
          this phone. Another phone that has seen ${gone.length === 1 ? "it" : "them"} may still hold a copy: open the
          log there.</p>${gone.map(
            ({ subject, what }) =>
              html`<p><a class="button button--quiet" href="/history/${subject}">${
                what || "A photo without a word on it"
              }</a></p>`,
          )}`
        : ""
    }
    ${
      waiting ? "" : html`<p><button type="button" class="button button--quiet" data-read>I have read this</button></p>`
    }`;
}

/** @param {{labels: string[], records: number, photos: number}} aside @param {string|null} name */
function asideMarkup({ labels, records, photos }, name) {
  if (!labels.length || records + photos === 0) return null;
  return html`<p>${countedBoth(records, photos)} of an earlier account ${name ? html`<b>${name}</b>` : ""} ${
    records + photos === 1 ? "is" : "are"
  } on this phone. This server knows only one of that name that was made anew, so nothing of the earlier one is shown or
    sent. If the earlier one was yours as well, you can take it over: then all of it goes into the log of the account
    that is signed in now.</p>
    <p><button type="button" class="button button--quiet button--wide"
      data-take>Take it over into this account</button></p>`;
}

/** @param {{account: string, count: number}[]} locked @param {{account: string|null}[]} photos */
function lockedWords(locked, photos) {
  const records = locked.reduce((sum, each) => sum + each.count, 0);
  const count = records + photos.length;
  if (!count) return "";
  const accounts = new Set([...locked, ...photos].map(({ account }) => account)).size;
  const whose = accounts === 1 ? "another account" : `${accounts} other accounts`;
  return `${countedBoth(records, photos.length)} of ${whose} ${count === 1 ? "waits" : "wait"} here locked until ${
    accounts === 1 ? "it signs" : "they sign"
  } in; ${count === 1 ? "it is" : "they are"} not encrypted.`;
}

/** @param {{offset_s: number}|undefined} clock */
function clockSentence(clock) {
  const words = clockWords(clock?.offset_s);
  return words
    ? `This phone’s clock is ${words} the server’s. New records carry the phone’s time; set the clock right.`
    : "";
}
