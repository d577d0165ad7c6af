// What a page shows of a signed record that holds: what holds, what no signature shows, and all that was signed. It
// comes from what was signed and from nothing else, as text and nothing else.
import { askedLines } from "./buyer.js";
import { fingerprint } from "./integrity.js";
import { shownRecord } from "./lines.js";
import { Refused, say } from "./refused.js";
import { CANNOT_KNOW } from "./verifying.js";

/** @import { BuyerLine } from "./buyer.js" */
/** @import { Verification, Criteria } from "./verifying.js" */

/**
 * @typedef {{kinds: Record<string, string>, asked: Record<string, any>[]}} RecordWords what people call each kind,
 *   and ask
 */
/** @typedef {Criteria & RecordWords} Data what it is told by */
/** @typedef {{position: number, kind: string, month: string}} EntryOutline */

/** @param {Verification} held @param {Data} data @returns {HTMLElement[]} */
export function shownHeld({ document: { credentialSubject }, issuer, sentences }, data) {
  const { rig, entries, outlined, rulebook } = credentialSubject;
  const told = outlined.map(
    (/** @type {EntryOutline} */ { position, kind, month }) => `${position}: ${data.kinds[kind] ?? kind}, ${month}`,
  );
  const hidden = outlined.map((/** @type {EntryOutline} */ { kind }) => kind);
  const records = entries.map((/** @type {{record: Record<string, any>}} */ { record }) => record);
  return [
    titled(`What is asked of ${rig.name}`, answers(askedLines(records, data.asked, hidden))),
    titled("This holds", list(sentences)),
    titled("This no signature shows", list(CANNOT_KNOW.map((each) => say(data.words, each)))),
    titled(`What was signed of ${rig.name}`, list([`Key: ${fingerprint(issuer)}`, `Rules: ${rulebook}`])),
    ...[...entries].reverse().map((entry) => shownRecord(entry, data.kinds)),
    ...(told.length ? [titled("Named only, as the issuer says", list(told))] : []),
  ];
}

/** @param {BuyerLine[]} lines */
function answers(lines) {
  const found = document.createElement("dl");
  for (const { label, told } of lines) {
    const term = document.createElement("dt");
    const answer = document.createElement("dd");
    term.textContent = label;
    answer.textContent = told.join("; ");
    found.append(term, answer);
  }
  return found;
}

/** Says why a record is refused. @param {unknown} error @param {Data} data */
export function why(error, { words }) {
  if (!(error instanceof Refused)) return `Nothing was verified: ${error}`;
  const reason = say(words, error.reason, { form: "fieldlog-checkpoint-1", ...error.values });
  return error.reason === "no-checkpoint" ? reason : say(words, "refused", { reason });
}

/** @param {string[]} sentences */
export function list(sentences) {
  const found = document.createElement("ul");
  for (const sentence of sentences) {
    const item = document.createElement("li");
    item.textContent = sentence;
    found.append(item);
  }
  return found;
}

/** @param {string} title @param {HTMLElement} held */
function titled(title, held) {
  const section = document.createElement("section");
  const head = document.createElement("h2");
  head.textContent = title;
  section.append(head, held);
  return section;
}
