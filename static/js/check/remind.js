// Later: the half hour after plugging in: a notice of this phone where the browser gives one, and an entry for any
// calendar.
import { html, show } from "../lib/html.js";

/**
 * @typedef {object} Reminder what rings; of ASCII alone
 * @property {string} tag which names its file
 * @property {string} title
 * @property {string} over what the notice says has come
 * @property {string} words
 */

/** @type {Reminder} */
const PLUG = {
  tag: "feel-the-plug",
  title: "Feel the shore plug",
  over: "Half an hour is over",
  words: "Feel the shore plug: clearly warmer than a plug beside it or metal in the same sun? Breaker off, unplug.",
};
const ALONE =
  "It comes only while this very page stays open; a phone that sleeps may hold it back. The calendar does not.";
const SURE = "It comes by itself, with Fieldlog closed too.";
const REFUSED = "This browser gives no notices here. The calendar entry does.";

/**
 * Gives an entry of a calendar that rings at its own time.
 * @param {Date} at
 * @param {Date} made
 * @param {Reminder} [what]
 * @returns {string} a file by RFC 5545
 */
export function calendarEntry(at, made, { tag, title, words } = PLUG) {
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Fieldlog//The half hour//EN",
    "BEGIN:VEVENT",
    `UID:${tag}-${stamp(at)}@fieldlog.invalid`,
    `DTSTAMP:${stamp(made)}`,
    `DTSTART:${stamp(at)}`,
    "DURATION:PT5M",
    `SUMMARY:${title}`,
    `DESCRIPTION:${words.replace(/[,;]/g, "\\$&")}`,
    "BEGIN:VALARM",
    "ACTION:DISPLAY",
    `DESCRIPTION:${title}`,
    "TRIGGER:PT0S",
    "END:VALARM",
    "END:VEVENT",
    "END:VCALENDAR",
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join("");
}

/** 20261130T110207Z @param {Date} date */
const stamp = (date) => `${date.toISOString().slice(0, 19).replace(/[-:]/g, "")}Z`;

/** A line holds 75 octets at most; these are ASCII alone. @param {string} line */
const folded = (line) => line.replace(/(.{74})(?=.)/g, "$1\r\n ");

/**
 * Offers both where the half hour begins. A tap asks for the notice, nothing else does.
 * @param {Element} place
 * @param {Date} at
 * @param {Reminder} [what]
 */
export function offerReminder(place, at, what = PLUG) {
  const file = URL.createObjectURL(new Blob([calendarEntry(at, new Date(), what)], { type: "text/calendar" }));
  const canAsk = "Notification" in window && Notification.permission !== "denied";
  show(
    place,
    html`${
      canAsk
        ? html`<button type="button" class="button button--quiet button--wide"
        data-remind>Remind me on this phone</button>`
        : ""
    }
    <a class="button button--quiet button--wide" href="${file}" download="${what.tag}.ics">Put it into my calendar</a>
    <p class="hint" role="status"></p>`,
  );
  const told = /** @type {Element} */ (place.querySelector("[role=status]"));
  if (!canAsk) told.textContent = REFUSED;
  place.querySelector("[data-remind]")?.addEventListener("click", async () => {
    told.textContent = await remind(at, what).catch(() => REFUSED);
  });
}

/** @param {Date} at @param {Reminder} what @returns {Promise<string>} what to say of it */
async function remind(at, { tag, words, over }) {
  if ((await Notification.requestPermission()) !== "granted") return REFUSED;
  const worker = await navigator.serviceWorker?.getRegistration();
  if (!worker) return REFUSED;
  /** @type {any} a notice at a time, where the browser has it */
  const Trigger = Reflect.get(window, "TimestampTrigger");
  /** @type {any} */
  const options = { body: words, tag, icon: "/static/icons/sign-192.png" };
  if (Trigger && "showTrigger" in Notification.prototype) {
    await worker.showNotification(over, { ...options, showTrigger: new Trigger(at.getTime()) });
    return SURE;
  }
  setTimeout(() => worker.showNotification(over, options), Math.max(0, at.getTime() - Date.now()));
  return ALONE;
}
