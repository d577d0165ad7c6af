import { canVerify } from "../verify/integrity.js";
import { say } from "../verify/refused.js";
import { list, shownHeld, why } from "../verify/shown.js";
import { verified } from "../verify/verifying.js";

/** @import { Data } from "../verify/shown.js" */

/** @typedef {{state: string, sentence: string|null, record: string|null}} Answer */
/** @typedef {"waiting"|"holds"|"refused"|"cannot"|"closed"} State */

const NO_LINK = "This address opens nothing by itself. Open the link whole, or scan the code again.";
const NOT_REACHED = "The server was not reached. Open it again where you have signal.";
const NO_WAY =
  "This browser cannot verify signatures here, so nothing is shown. Open the page by https, or in a newer browser.";

/**
 * Shows what an owner shares of a rig, once it was verified. What opens it stands behind the # of the address and goes
 * to the server in a body alone; with `from` it is the owner's preview, and comes from there.
 */
export class FlShared extends HTMLElement {
  /** @type {HTMLElement|null} */
  #answer = null;
  /** @type {Data|null} */
  #data = null;

  connectedCallback() {
    this.#answer = this.querySelector("[role=status]");
    const criteria = this.querySelector("script");
    if (!this.#answer || !criteria) return console.error("fl-shared lacks a part.");
    this.#data = JSON.parse(criteria.textContent ?? "");
    window.addEventListener("hashchange", this);
    this.#open();
  }

  disconnectedCallback() {
    window.removeEventListener("hashchange", this);
  }

  handleEvent() {
    if (!this.hasAttribute("from")) this.#open();
  }

  async #open() {
    this.#tell("waiting", ["The record is being asked for and verified."]);
    const asked = this.getAttribute("from");
    const secret = location.hash.slice(1);
    if (!asked && !secret) return this.#tell("closed", [NO_LINK]);
    try {
      const response = await (asked ? fetch(asked) : fetch("/shared/opened", sent(secret)));
      const answer = await response.json();
      if (response.ok) await this.#show(answer);
      else this.#tell("closed", problemsOf(answer));
    } catch {
      this.#tell("cannot", [NOT_REACHED]);
    }
  }

  /** @param {Answer} answer */
  async #show({ sentence, record }) {
    if (record === null) return this.#tell("closed", [sentence ?? ""]);
    const data = /** @type {Data} */ (this.#data);
    if (!(await canVerify())) return this.#tell("cannot", [NO_WAY]);
    const text = new TextEncoder().encode(record);
    try {
      const held = await verified(text, data);
      this.#tell("holds", [say(data.words, "not-an-inspection")]);
      this.#answer?.append(...shownHeld(held, data), kept(text));
    } catch (error) {
      this.#tell("refused", [why(error, data)]);
    }
  }

  /** @param {State} state @param {string[]} sentences */
  #tell(state, sentences) {
    if (!this.#answer) return;
    this.#answer.replaceChildren(list(sentences));
    this.#answer.dataset.state = state;
  }
}

/** @param {string} secret @returns {RequestInit} */
const sent = (secret) => ({
  method: "POST",
  headers: { "Content-Type": "application/json" },
  body: JSON.stringify({ secret }),
  credentials: "omit",
  cache: "no-store",
});

/** @param {{problems?: {problem: string}[]}} answer */
const problemsOf = ({ problems = [] }) => problems.map(({ problem }) => problem);

/** Gives the way to keep what was verified. @param {Uint8Array} text */
function kept(text) {
  const line = document.createElement("p");
  const way = document.createElement("a");
  way.className = "button button--quiet";
  way.download = "signed-record.json";
  way.href = URL.createObjectURL(new Blob([text.slice()], { type: "application/json" }));
  way.textContent = "Save the signed record";
  line.append(way, " The file that verifies it without a network is at /verify; better get that from somebody else.");
  return line;
}
