import { canVerify } from "../verify/integrity.js";
import { say } from "../verify/refused.js";
import { list, shownHeld, why } from "../verify/shown.js";
import { verified } from "../verify/verifying.js";

/** @import { Entry } from "../verify/lines.js" */
/** @import { Data } from "../verify/shown.js" */
/** @import { Verification } from "../verify/verifying.js" */

/** @typedef {{state: string, sentence: string|null, record: string|null, pictures?: boolean}} Answer */
/** @typedef {"waiting"|"holds"|"refused"|"cannot"|"closed"} State */

const NO_LINK = "This address opens nothing by itself. Open the link whole, or scan the code again.";
const NOT_REACHED = "The server was not reached. Open it again where you have signal.";
const NO_PROOF =
  "As the server drew them anew. Their hashes are signed above; those name what the phone sent, not these copies. ";
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
  async #show({ sentence, record, pictures: hasPictures }) {
    if (record === null) return this.#tell("closed", [sentence ?? ""]);
    const data = /** @type {Data} */ (this.#data);
    if (!(await canVerify())) return this.#tell("cannot", [NO_WAY]);
    const text = new TextEncoder().encode(record);
    try {
      const held = await verified(text, data);
      this.#tell("holds", [say(data.words, "not-an-inspection")]);
      this.#answer?.append(...shownHeld(held, data), kept(text));
      if (hasPictures) this.#answer?.append(pictures(held, this.hasAttribute("from")));
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

/**
 * Gives the way to the photos of which the record speaks; they are fetched when they are asked for.
 * @param {Verification} held
 * @param {boolean} isPreview its owner looks at it, who has the photos anyway
 */
function pictures(held, isPreview) {
  const section = document.createElement("section");
  const title = Object.assign(document.createElement("h2"), { textContent: "Photos" });
  const records = held.document.credentialSubject.entries.map((/** @type {Entry} */ { record }) => record);
  const whats = records
    .filter((/** @type {Entry["record"]} */ { kind }) => kind === "photo")
    .map((/** @type {Entry["record"]} */ { body }) => [body.hash, body.what || "A photo"]);
  /** @type {Map<string, string>} what each shows, by its hash; a correction words it otherwise */
  const found = new Map(whats);
  const button = Object.assign(document.createElement("button"), { textContent: `Show ${found.size} of them` });
  const way = found.size ? button : "None is noted.";
  section.append(title, NO_PROOF, document.createElement("br"), way);
  button.addEventListener("click", async () => {
    button.remove();
    for (const [hash, what] of found) section.append(await figure(hash, what, isPreview));
  });
  return section;
}

/** @param {string} hash @param {string} what @param {boolean} isPreview */
async function figure(hash, what, isPreview) {
  const shown = document.createElement("figure");
  const caption = Object.assign(document.createElement("figcaption"), { textContent: what });
  try {
    const asked = { ...sent(location.hash.slice(1)), body: JSON.stringify({ secret: location.hash.slice(1), hash }) };
    const response = await (isPreview ? fetch(`/api/photos/${hash}`) : fetch("/shared/picture", asked));
    if (!response.ok) throw new Error(`${response.status}`);
    const src = URL.createObjectURL(await response.blob());
    shown.append(Object.assign(new Image(), { src, alt: what }), caption);
  } catch {
    caption.textContent = `${what}: not here`;
    shown.append(caption);
  }
  return shown;
}

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
