// The page that verifies a signed record without a network: it shows what was signed, and nothing else.

import { readCheckpoint } from "./checkpoint.js";
import { canVerify, fingerprint } from "./integrity.js";
import { shownRecord } from "./lines.js";
import { Refused, say } from "./refused.js";
import { CANNOT_KNOW, verified } from "./verifying.js";

/** @import { Held, Tables } from "./verifying.js" */

/** @typedef {Tables & {kinds: Record<string, string>}} Data what the file holds beside its script */

const data = /** @type {Data} */ (JSON.parse(element("data").textContent ?? ""));
const answer = element("answer");

element("form").addEventListener("submit", (event) => {
  event.preventDefault();
  verify();
});
if (!(await canVerify())) tell("cannot", ["This browser cannot verify signatures. Open this file in a newer one."]);

async function verify() {
  const file = field("file").files?.[0];
  if (!file) return tell("refused", ["Choose the file first."]);
  try {
    const checkpoints = lines("checkpoints").map((line) => readCheckpoint(line) ?? refuse("no-checkpoint"));
    const text = new Uint8Array(await file.arrayBuffer());
    show(await verified(text, data, { checkpoints, issuers: lines("issuers") }), file.name);
  } catch (error) {
    if (!(error instanceof Refused)) return tell("refused", [`Nothing was verified: ${error}`]);
    const isOfFile = error.reason !== "no-checkpoint";
    const why = say(data.words, error.reason, { form: "fieldlog-checkpoint-1", ...error.values });
    tell("refused", [isOfFile ? say(data.words, "refused", { reason: why }) : why]);
  }
}

/** @param {string} reason @returns {never} */
function refuse(reason) {
  throw new Refused(reason);
}

/** @param {Held} held @param {string} name of the file */
function show({ document: { credentialSubject }, issuer, sentences }, name) {
  const { rig, entries, outlined, rulebook } = credentialSubject;
  tell("holds", [`${name}: ${say(data.words, "not-an-inspection")}`]);
  answer.append(
    titled("This holds", list(sentences)),
    titled("This no signature shows", list(CANNOT_KNOW.map((each) => say(data.words, each)))),
    titled(`What was signed of ${rig.name}`, list([`Key: ${fingerprint(issuer)}`, `Rules: ${rulebook}`])),
  );
  for (const entry of [...entries].reverse()) answer.append(shownRecord(entry, data.kinds));
  if (outlined.length) {
    const told = outlined.map(
      (/** @type {{position: number, kind: string, month: string}} */ { position, kind, month }) =>
        `${position}: ${data.kinds[kind] ?? kind}, ${month}`,
    );
    answer.append(titled("Named only, as the issuer says", list(told)));
  }
}

/** @param {"holds"|"refused"|"cannot"} state @param {string[]} sentences */
function tell(state, sentences) {
  answer.replaceChildren(list(sentences));
  answer.dataset.state = state;
  answer.focus();
}

/** @param {string} title @param {HTMLElement} held */
function titled(title, held) {
  const section = document.createElement("section");
  const head = document.createElement("h2");
  head.textContent = title;
  section.append(head, held);
  return section;
}

/** @param {string[]} sentences */
function list(sentences) {
  const found = document.createElement("ul");
  for (const sentence of sentences) {
    const item = document.createElement("li");
    item.textContent = sentence;
    found.append(item);
  }
  return found;
}

/** @param {string} name @returns {string[]} the lines of a field that hold something */
function lines(name) {
  const text = /** @type {HTMLTextAreaElement} */ (element(name)).value;
  return text
    .split("\n")
    .map((line) => line.trim())
    .filter(Boolean);
}

/** @param {string} name */
const field = (name) => /** @type {HTMLInputElement} */ (element(name));

/** @param {string} id @returns {HTMLElement} */
function element(id) {
  const found = document.getElementById(id);
  if (!found) throw new TypeError(`There is no ${id}.`);
  return found;
}
