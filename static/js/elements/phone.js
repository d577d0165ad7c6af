import { counted, countedBoth } from "../lib/ages.js";
import { clockWords } from "../lib/clocks.js";
import { get } from "../outbox/db.js";
import { unsentPhotos } from "../outbox/photos.js";
import { allRows, changes, lockedCounts, unsentRows } from "../outbox/queue.js";
import { standing } from "../sync/flush.js";

/** What is on this phone, beside what waits: how much, what lies locked for others, and whether its clock is right. */
export class FlPhone extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
    changes.addEventListener("changed", this);
    this.handleEvent();
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
    changes.removeEventListener("changed", this);
  }

  async handleEvent() {
    try {
      const [rows, unsent, photos, locked, clock] = await Promise.all([
        allRows(),
        unsentRows(),
        unsentPhotos(),
        lockedCounts(),
        get("kept", "clock"),
      ]);
      this.#say("standing", held(rows.length, unsent.length, photos.mine.length));
      this.#say("locked", lockedWords(locked, photos.others));
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

  #say(part, sentence) {
    const place = this.querySelector(`[data-part=${part}]`);
    if (place.textContent !== sentence) place.textContent = sentence;
    place.hidden = !sentence;
  }
}

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
