import { counted } from "../lib/ages.js";
import { html, show } from "../lib/html.js";
import { get } from "../outbox/db.js";
import { exportFile } from "../outbox/file.js";
import { leave } from "../outbox/leaving.js";
import { allRows, changes, unsentRows } from "../outbox/queue.js";
import { saveFile } from "../phone/save-file.js";
import { standing, sync } from "../sync/flush.js";

/** Signs out, with or without the server. What is on this phone only is never left to chance: the person chooses. */
export class FlSignOut extends HTMLElement {
  #unsent = 0;
  #isDone = false;

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

  handleEvent(event) {
    if (event.type === "changed") this.#refresh();
    else this.#tapped(event.target.closest("[data-do]"));
  }

  async #tapped(button) {
    if (!button) return;
    this.#fail("");
    try {
      await this[button.dataset.do]();
    } catch (error) {
      console.error(error);
      this.#fail(`Not done. ${error.message ?? "The phone’s storage refused it."} Nothing was taken off this phone.`);
    }
  }

  async send() {
    this.#say("send", "Sending…");
    await sync();
    const left = (await unsentRows()).length;
    if (!left) return;
    if (!standing.reached) this.#say("send", "There is no way to the server now. Try again with a signal, or choose another way.");
    else if (!standing.signedIn) show(this.#part("send-said"), html`The server wants you to sign in first. <a class="button button--quiet" href="/sign-in?next=/sign-out">Sign in to send ${left}</a>`);
    else show(this.#part("send-said"), html`${counted(left, "record")} did not go; the server refused or failed on ${left === 1 ? "it" : "them"}. <a class="button button--quiet" href="/phone">Mend under “On this phone”</a>`);
  }

  async save() {
    const file = await exportFile({ all: false });
    saveFile(file);
    this.#say("save", `${counted(file.count, "record")} handed to the browser as ${file.name}. Look whether it is there before you rely on it.`);
  }

  go() {
    return this.#leave("sent", "This phone’s copy of the log is gone; the server has all of it.");
  }

  lock() {
    return this.#leave("locked", `${counted(this.#unsent, "record")} ${this.#unsent === 1 ? "lies" : "lie"} locked on this phone until this account signs in here again.`);
  }

  async discard() {
    const field = this.querySelector("[name=count]");
    const isRight = field.value.trim() === String(this.#unsent);
    const problem = this.querySelector("#discard-problem");
    problem.hidden = isRight;
    problem.textContent = isRight ? "" : `Type ${this.#unsent} to discard ${this.#unsent === 1 ? "this record" : "these records"}; nothing was discarded.`;
    if (!isRight) return field.focus();
    return this.#leave("discarded", `${counted(this.#unsent, "record")} discarded.`);
  }

  async #leave(choice, became) {
    this.#isDone = true;
    try {
      const { isTold } = await leave(choice);
      this.#part("choices").hidden = true;
      show(this.#part("standing"), html`<h2 tabindex="-1">Signed out on this phone</h2><p>${became}</p>
        ${isTold ? "" : html`<p class="notice">The server was not reached. It is told at the next meeting, before anything else, when a page of this site is open here.</p>`}
        <p><a class="button button--quiet button--wide" href="/sign-in">Sign in</a></p>`);
      this.querySelector("h2").focus();
    } catch (error) {
      this.#isDone = false;
      throw error;
    }
  }

  async #refresh() {
    if (this.#isDone) return;
    try {
      const [account, rows, unsent] = await Promise.all([get("kept", "account"), allRows(), unsentRows()]);
      if (this.#isDone) return;
      this.#unsent = unsent.length;
      this.#draw(account ?? standing.name, rows.length);
    } catch (error) {
      console.error(error);
      show(this.#part("standing"), html`<p>This phone’s store does not open, so nothing in it can be looked after. Without it: the <a class="button button--quiet" href="/sign-out/plain">plain form</a> ends the session.</p>`);
    }
  }

  #draw(account, count) {
    const mustChoose = this.#unsent > 0;
    this.#part("choices").hidden = !mustChoose;
    this.#part("locking").hidden = !account;
    this.#part("count").textContent = this.#unsent;
    const markup = mustChoose ? mustMarkup(account, this.#unsent) : freeMarkup(account, count);
    if (this.shown === markup.text) return;
    this.shown = markup.text;
    show(this.#part("standing"), markup);
  }

  #fail(sentence) {
    this.#part("failed").textContent = sentence;
    this.#part("failed").hidden = !sentence;
  }

  #say(what, sentence) {
    this.#part(`${what}-said`).textContent = sentence;
  }

  #part(name) {
    return this.querySelector(`[data-part=${name}]`);
  }
}

const who = (account) => (account ? html`<p>The log on this phone is that of <b>${account}</b>.</p>` : html`<p>Nobody is signed in on this phone.</p>`);

const mustMarkup = (account, unsent) => html`${who(account)}
  <p class="notice">${counted(unsent, "record")} ${unsent === 1 ? "is" : "are"} on this phone only. Choose what becomes of ${unsent === 1 ? "it" : "them"}.</p>`;

function freeMarkup(account, count) {
  if (!account && !count) return html`${who(account)}<p><a class="button button--quiet button--wide" href="/sign-in">Sign in</a></p>`;
  return html`${who(account)}<p>Nothing waits here. ${count ? html`${counted(count, "record")} ${count === 1 ? "is" : "are"} on the server; ` : ""}signing out takes the log off this phone, and it comes back with the next sign-in.</p>
    <p><button type="button" class="button button--main" data-do="go">Sign out</button></p>`;
}
