// Reads a signed record again: what of it holds. The same stands in fieldlog/bundle/verifying.py.
import { canonical } from "../engine/canonical.js";
import { sha256Hex, sha256HexOfBytes } from "../engine/sha256.js";
import { fingerprint, fromHex, signerOf } from "./integrity.js";
import { Refused, say } from "./refused.js";
import { misshapen } from "./shape.js";
import { readStrictly } from "./strict.js";

/** @import { Checkpoint } from "./checkpoint.js" */
/** @import { Document } from "./integrity.js" */
/** @import { Entry } from "./lines.js" */
/** @import { Words } from "./refused.js" */

/** @typedef {{schema: Record<string, any>, words: Words}} Criteria */
/** @typedef {{checkpoints?: Checkpoint[], issuers?: string[]}} ReaderMarks what the reader knows */
/** @typedef {{document: Document, issuer: string, sentences: string[]}} Verification */

const FIRST_HEAD = "0".repeat(64);

/** What no signature shows; told with every result. */
export const CANNOT_KNOW = ["cannot-know-truth", "cannot-know-whole", "cannot-know-time", "cannot-know-whose"];

/**
 * Verifies a signed record; throws Refused with the first thing that does not hold.
 * @param {Uint8Array} text the JSON
 * @param {Criteria} criteria
 * @param {ReaderMarks} against
 * @returns {Promise<Verification>}
 */
export async function verified(text, { schema, words }, { checkpoints = [], issuers = [] } = {}) {
  const document = /** @type {Document} */ (readStrictly(text));
  const place = misshapen(document, schema);
  if (place !== null) throw new Refused("shape", { place: place.slice(0, 200) });
  const issuer = await signerOf(document);
  if (issuer !== document.issuer) throw new Refused("other-issuer");
  const subject = document.credentialSubject;
  const keys = await keysOf(subject.keyChanges, issuer, document.validFrom);
  assertKnown(keys, issuers);
  const heads = headsOf(subject.log);
  assertEntries(subject);
  for (const each of checkpoints) assertPasses(each, subject, heads, words);
  const told = sentencesOf(document, keys, { checkpoints, issuers }, words);
  return { document, issuer, sentences: [...told, ...handOvers(subject, heads, words)] };
}

/**
 * Gives the names of all keys up to the issuer's, oldest first.
 * @param {Document[]} changes
 * @param {string} issuer
 * @param {string} made
 */
async function keysOf(changes, issuer, made) {
  /** @type {string[]} */
  let keys = [];
  let before = "";
  for (const change of changes) {
    if ((await signerOf(change)) !== change.from) throw new Refused("key-change-signer");
    if (keys.length && keys.at(-1) !== change.from) throw new Refused("key-changes-apart");
    if (change.at < before || change.at > made) throw new Refused("key-changes-order");
    before = change.at;
    keys = [...(keys.length ? keys : [change.from]), change.to];
  }
  if (keys.length && keys.at(-1) !== issuer) throw new Refused("key-retired");
  if (new Set(keys).size !== keys.length) throw new Refused("key-again");
  return keys.length ? keys : [issuer];
}

/** @param {string[]} keys @param {string[]} issuers */
function assertKnown(keys, issuers) {
  const known = keys.map((key) => bare(fingerprint(key)));
  if (issuers.length && !issuers.some((each) => known.includes(bare(each))))
    throw new Refused("key-unknown", { key: fingerprint(keys.at(-1) ?? "") });
}

/** @param {string} text */
const bare = (text) => text.toLowerCase().replace(/\s/g, "");

/**
 * Gives the head of the log after each entry, computed from the hashes.
 * @param {{count: number, head: string, hashes: string[]}} log
 */
function headsOf({ count, head, hashes }) {
  let last = FIRST_HEAD;
  const heads = hashes.map((hash) => {
    last = sha256HexOfBytes(fromHex(last + hash));
    return last;
  });
  if (heads.length !== count) throw new Refused("count", { named: heads.length, count });
  if (heads.at(-1) !== head) throw new Refused("head");
  return heads;
}

/** @param {Document} subject */
function assertEntries({ log, rig, entries, outlined }) {
  const places = [...entries, ...outlined].map(({ position }) => position).sort((a, b) => a - b);
  if (places.length !== log.count || places.some((place, at) => place !== at + 1)) throw new Refused("places");
  for (const { position, record } of entries) {
    if (sha256Hex(canonical(record)) !== log.hashes[position - 1]) throw new Refused("entry", { position });
    if (record.rig !== rig.id) throw new Refused("other-rig", { position });
  }
}

/** @param {Checkpoint} checkpoint @param {Document} subject @param {string[]} heads @param {Words} words */
function assertPasses({ log, count, head, day }, { rig, restores }, heads, words) {
  if (log !== rig.id) throw new Refused("checkpoint-other-log", { day });
  if (heads[count - 1] === head) return;
  const what = count > heads.length ? "checkpoint-shorter" : "checkpoint-changed";
  const values = { count, day, now: heads.length };
  const later = restores
    .filter((/** @type {{restoredAt: string}} */ each) => each.restoredAt.slice(0, 10) >= day)
    .at(-1);
  if (!later) throw new Refused(what, values);
  throw new Refused("restored-since", {
    reason: say(words, what, values),
    restored: later.restoredAt,
    made: later.madeAt,
  });
}

/**
 * Says of each hand-over that is shown whether the log ended before it as it says.
 * @param {Document} subject @param {string[]} heads @param {Words} words
 */
function handOvers({ entries }, heads, words) {
  /** @param {Entry} entry */
  const isOne = ({ record }) => record.kind === "hand-over" && (record.corrects ?? null) === null;
  /** @type {Entry[]} */
  const found = entries.filter(isOne);
  return found
    .sort((a, b) => a.position - b.position)
    .map(({ position, record }) => {
      const before = position - 1;
      const isSo = record.body.count === before && before > 0 && record.body.head === heads[before - 1];
      const values = { position, day: record.observed_at.slice(0, 10), count: before };
      return say(words, isSo ? "holds-handed-over" : "handed-over-elsewhere", values);
    });
}

/** @param {Document} document @param {string[]} keys @param {Required<ReaderMarks>} against @param {Words} words */
function sentencesOf({ credentialSubject, validFrom }, keys, { checkpoints, issuers }, words) {
  const { count } = credentialSubject.log;
  const shown = credentialSubject.entries.length;
  const sentences = [say(words, "holds-signed", { key: fingerprint(keys.at(-1) ?? ""), time: validFrom })];
  if (issuers.length) sentences.push(say(words, "holds-known-key"));
  if (keys.length > 1) sentences.push(say(words, "holds-keys", { count: keys.length - 1 }));
  sentences.push(say(words, "holds-log", { count, shown }));
  if (shown < count) sentences.push(say(words, "holds-outlined", { count: count - shown }));
  for (const each of [...checkpoints].sort((a, b) => a.count - b.count))
    sentences.push(say(words, "holds-checkpoint", { count: each.count, day: each.day }));
  return sentences;
}
