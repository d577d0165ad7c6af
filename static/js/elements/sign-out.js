import { counted, countedBoth } from "../lib/ages.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { get } from "../outbox/db.js";
import { unsentPhotos } from "../outbox/photos.js";
import { allRows, changes, unsentRows } from "../outbox/queue.js";
import { exportFile } from "../outbox/written-file.js";
import { saveFile } from "../phone/save-file.js";
import { sendAll } from "../phone/send-all.js";
import { askBeforeLeaving, NotAsked } from "../sync/asking.js";
import { standing } from "../sync/flush.js";
import { leave, unfinishedForms } from "../sync/leaving.js";

/** @import { Choice } from "../sync/leaving.js" */

/** Signs out, with or without the server. What is on this phone only is never left to chance: the person chooses. */
export class FlSignOut extends HTMLElement {
  /** What is on this phone only. @type {UnsentCounts} */
  #unsent = { records: 0, photos: 0, forms: 0 };
  #isDone = false;
  #shown = "";
  /** @type {Record<string, () => unknown>} what the buttons do */
  #ways = {
    send: () => this.#send(),
    save: () => this.#save(),
    go: () => this.#go(),
    lock: () => this.#lock(),
    discard: () => this.#discard(),
    unasked: () => this.#unasked?.(),
  };
  /** What was wanted while the server could not be asked. @type {(() => unknown)|null} */
  #unasked = null;

  connectedCallback() {
    changes.addEventListener("changed", this);
    standing.addEventListener("changed", this);
    this.addEventListener("click", this);
    this.#refresh();
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
    standing.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "changed") this.#refresh();
    else this.#tapped(/** @type {Element} */ (target).closest("[data-do]"));
  }

  /** @param {HTMLElement|null} button */
  async #tapped(button) {
    if (!button) return;
    this.#fail("");
    try {
      await this.#ways[button.dataset.do ?? ""]?.();
    } catch (error) {
      const { message } = /** @type {Error} */ (error);
      console.error(error);
      this.#fail(`Not done. ${message ?? "The phone’s storage refused it."} Nothing was taken off this phone.`);
    }
  }

  async #send() {
    this.#say("send", "Sending…");
    await sendAll();
    const left = await unsent();
    const count = left.records + left.photos;
    if (!count) return;
    if (!standing.reached)
      this.#say("send", "There is no way to the server now. Try again with a signal, or choose another way.");
    else if (!standing.signedIn)
      show(
        this.#part("send-said"),
        html`The server wants you to sign in first. <a class="button button--quiet"
          href="/sign-in?next=/sign-out">Sign in to send ${count}</a>`,
      );
    else
      show(
        this.#part("send-said"),
        html`${countedBoth(left.records, left.photos)} did not go. What stands in the way, and what can be done, is
          said there: <a class="button button--quiet" href="/phone">On this phone</a>`,
      );
  }

  async #save() {
    const file = await exportFile({ all: false });
    saveFile(file);
    this.#say(
      "save",
      `${countedBoth(file.count, file.photos)} handed to the browser as ${
        file.name
      }. Look whether it is there before you rely on it.`,
    );
  }

  async #go() {
    const gone = `This phone’s copy of the log is gone`;
    const unasked = () =>
      this.#leave("sent", `${gone}; the server, when last met, had all of it.${wentToo(this.#unsent)}`);
    if (await this.#isAllThere(unasked))
      await this.#leave("sent", `${gone}; the server has all of it.${wentToo(this.#unsent)}`);
  }

  /** Nothing is lost by it, so nobody is asked twice: what the server cannot be asked for stays as well. */
  async #lock() {
    const isAsked = await askBeforeLeaving().then(
      () => true,
      (error) => {
        if (error instanceof NotAsked) return false;
        throw error;
      },
    );
    this.#unsent = await unsent();
    const what = total(this.#unsent) ? allWords(this.#unsent) : "The log";
    const lies = total(this.#unsent) === 1 || !total(this.#unsent) ? "lies" : "lie";
    const also = isAsked ? "" : " So does this phone’s copy of the rest, since the server could not be asked for it.";
    return this.#leave(
      isAsked ? "locked" : "locked whole",
      `${what} ${lies} locked on this phone until this account signs in here again.${also}`,
    );
  }

  /** @returns {Promise<boolean>} whether the server has all that it confirmed @param {() => unknown} unasked */
  async #isAllThere(unasked) {
    this.#part("unasked").hidden = true;
    try {
      const { records, photos } = await askBeforeLeaving();
      if (records + photos)
        this.#fail(
          `Not done. The server no longer has ${countedBoth(records, photos)} that it had confirmed. ${
            records + photos === 1 ? "It is" : "They are"
          } kept here and can be sent again; choose what becomes of ${records + photos === 1 ? "it" : "them"}.`,
        );
      return records + photos === 0;
    } catch (error) {
      if (!(error instanceof NotAsked)) throw error;
      this.#unasked = unasked;
      this.#part("unasked").hidden = false;
      return false;
    }
  }

  async #discard() {
    const field = partOf(this, "[name=count]", HTMLInputElement);
    const { records, photos } = this.#unsent;
    const isRight = field.value.trim() === String(records + photos);
    const problem = partOf(this, "#discard-problem");
    problem.hidden = isRight;
    problem.textContent = isRight
      ? ""
      : `Type ${records + photos} to discard ${countedBoth(records, photos)}; nothing was discarded.`;
    if (!isRight) return field.focus();
    const discard = () =>
      this.#leave("discarded", `${countedBoth(records, photos)} discarded.${wentToo(this.#unsent)}`);
    if (await this.#isAllThere(discard)) await discard();
  }

  /** @param {Choice} choice @param {string} became */
  async #leave(choice, became) {
    this.#isDone = true;
    try {
      const { isTold } = await leave(choice);
      this.#part("choices").hidden = true;
      this.#part("unasked").hidden = true;
      show(
        this.#part("standing"),
        html`<h2 tabindex="-1">Signed out on this phone</h2><p>${became}</p>
        ${
          isTold
            ? ""
            : html`<p class="notice">The server was not reached. It is told at the next meeting, before anything else,
              when a page of this site is open here.</p>`
        }
        <p><a class="button button--quiet button--wide" href="/sign-in">Sign in</a></p>`,
      );
      partOf(this, "h2").focus();
    } catch (error) {
      this.#isDone = false;
      throw error;
    }
  }

  async #refresh() {
    if (this.#isDone) return;
    try {
      const [account, rows, found] = await Promise.all([get("kept", "account"), allRows(), unsent()]);
      if (this.#isDone) return;
      this.#unsent = found;
      this.#draw(account ?? standing.name, rows.length);
    } catch (error) {
      console.error(error);
      show(
        this.#part("standing"),
        html`<p>This phone’s store does not open, so nothing in it can be looked after. Without it: the <a
          class="button button--quiet" href="/sign-out/plain">plain form</a> ends the session.</p>`,
      );
    }
  }

  /** @param {string|null} account @param {number} count */
  #draw(account, count) {
    const { records, photos } = this.#unsent;
    const mustChoose = records + photos > 0;
    this.#part("choices").hidden = !mustChoose;
    this.#part("locking").hidden = !account;
    this.#part("what").textContent = countedBoth(records, photos);
    this.#part("count").textContent = String(records + photos);
    const markup = mustChoose ? mustMarkup(account, this.#unsent) : freeMarkup(account, count, this.#unsent);
    if (this.#shown === markup.text) return;
    this.#shown = markup.text;
    show(this.#part("standing"), markup);
  }

  /** @param {string} sentence */
  #fail(sentence) {
    this.#part("failed").textContent = sentence;
    this.#part("failed").hidden = !sentence;
  }

  /** @param {string} what @param {string} sentence */
  #say(what, sentence) {
    this.#part(`${what}-said`).textContent = sentence;
  }

  /** @param {string} name */
  #part(name) {
    return partOf(this, `[data-part=${name}]`);
  }
}

/** @typedef {{records: number, photos: number, forms: number}} UnsentCounts forms: begun and not finished */

/** @returns {Promise<UnsentCounts>} */
async function unsent() {
  const [rows, { mine }, forms] = await Promise.all([unsentRows(), unsentPhotos(), unfinishedForms()]);
  return { records: rows.length, photos: mine.length, forms };
}

/** @param {UnsentCounts} unsent */
const total = ({ records, photos, forms }) => records + photos + forms;
/** @param {number} forms */
const formWords = (forms) => counted(forms, "unfinished form");

/** @param {UnsentCounts} unsent */
function allWords({ records, photos, forms }) {
  const sent = records + photos ? countedBoth(records, photos) : "";
  return [sent, forms ? formWords(forms) : ""].filter(Boolean).join(" and ");
}

/** @param {UnsentCounts} unsent */
const wentToo = ({ forms }) => (forms ? ` ${formWords(forms)} went with it.` : "");

/** What was begun and not finished goes with every way but one. @param {string|null} account @param {number} forms */
function formsMarkup(account, forms) {
  if (!forms) return "";
  const way = account
    ? "Left locked, it waits here for this account; every other way takes it off"
    : "Signing out takes it off";
  return html`<p class="notice">${formWords(forms)} ${forms === 1 ? "is" : "are"} on this phone, and nowhere else: what
    was typed and not saved yet. ${way}${forms === 1 ? "." : ", all of them."}</p>`;
}

/** @param {string|null} account */
const who = (account) =>
  account
    ? html`<p>The log on this phone is that of <b>${account}</b>.</p>`
    : html`<p>Nobody is signed in on this phone.</p>`;

/** @param {string|null} account @param {UnsentCounts} unsent */
function mustMarkup(account, { records, photos, forms }) {
  const isOne = records + photos === 1;
  return html`${who(account)}
  <p class="notice">${countedBoth(records, photos)} ${isOne ? "is" : "are"} on this phone only. Choose what becomes of
    ${isOne ? "it" : "them"}.</p>${formsMarkup(account, forms)}`;
}

/** @param {string|null} account @param {number} count @param {UnsentCounts} unsent */
function freeMarkup(account, count, { forms }) {
  if (!account && !count && !forms)
    return html`${who(account)}<p><a class="button button--quiet button--wide" href="/sign-in">Sign in</a></p>`;
  return html`${who(account)}<p>Nothing waits here. ${
    count ? html`${counted(count, "record")} ${count === 1 ? "is" : "are"} on the server; ` : ""
  }signing out takes the log off this phone, and it comes back with the next sign-in.</p>
    ${formsMarkup(account, forms)}
    ${
      forms && account
        ? html`<p><button type="button" class="button button--quiet button--wide"
          data-do="lock">Sign out, leave it locked</button></p>`
        : ""
    }
    <p><button type="button" class="button button--main" data-do="go">${
      forms ? "Sign out, take it off" : "Sign out"
    }</button></p>`;
}
