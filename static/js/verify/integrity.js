// Signatures of JSON documents: W3C Data Integrity, cryptosuite eddsa-jcs-2022, and nothing else. The same stands in
// fieldlog/bundle/integrity.py, with its sources.
import { canonical } from "../engine/canonical.js";
import { sha256Hex } from "../engine/sha256.js";
import { Refused } from "./refused.js";

const SUITE = "eddsa-jcs-2022";
const PURPOSE = "assertionMethod";
const METHOD = "did:key:";
const ED25519 = [0xed, 0x01];
const SIGNATURE_BYTES = 64;
const KEY_BYTES = 32;
const MEMBERS = ["@context", "created", "cryptosuite", "proofPurpose", "proofValue", "type", "verificationMethod"];
const LETTERS = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";

/** @typedef {Record<string, any>} Document */

/**
 * Verifies a document's proof and gives the name of the key that signed, "did:key:z6Mk…".
 * @param {Document} document
 * @returns {Promise<string>}
 */
export async function signerOf(document) {
  const { proof, ...bare } = document;
  if (canonicalNames(proof) !== canonical(MEMBERS)) throw new Refused("no-proof");
  if (proof.type !== "DataIntegrityProof" || proof.cryptosuite !== SUITE)
    throw new Refused("other-suite", { suite: SUITE });
  if (proof.proofPurpose !== PURPOSE) throw new Refused("other-purpose", { purpose: PURPOSE });
  if (canonical(proof["@context"]) !== canonical(document["@context"] ?? null)) throw new Refused("other-context");
  const name = nameIn(proof.verificationMethod);
  const key = keyNamed(name);
  const { proofValue, ...claim } = proof;
  const signature = signatureIn(proofValue);
  const signed = fromHex(sha256Hex(canonical(claim)) + sha256Hex(canonical(bare)));
  if (!(await isSignedBy(key, signature, signed))) throw new Refused("not-what-was-signed");
  return name;
}

/** @returns {Promise<boolean>} whether this browser can verify at all */
export async function canVerify() {
  try {
    await imported(new Uint8Array(KEY_BYTES));
    return true;
  } catch {
    return false;
  }
}

/** What people compare of a key. @param {string} name */
export function fingerprint(name) {
  const digits = sha256Hex(name).slice(0, 20);
  return (digits.match(/.{4}/g) ?? []).join(" ");
}

/** @param {string} text hexadecimal digits */
export const fromHex = (text) => Uint8Array.from(text.match(/../g) ?? [], (byte) => Number.parseInt(byte, 16));

/** @param {Uint8Array} key @param {Uint8Array} signature @param {Uint8Array} signed */
async function isSignedBy(key, signature, signed) {
  try {
    return await crypto.subtle.verify("Ed25519", await imported(key), signature.slice(), signed.slice());
  } catch (error) {
    if (/** @type {Error} */ (error).name === "DataError") return false; // no point of the curve
    throw error;
  }
}

/** @param {Uint8Array} key */
const imported = (key) => crypto.subtle.importKey("raw", key.slice(), "Ed25519", false, ["verify"]);

/** @param {unknown} proof */
function canonicalNames(proof) {
  const isObject = proof !== null && typeof proof === "object" && !Array.isArray(proof);
  return isObject ? canonical(Object.keys(proof).sort()) : "";
}

/** @param {unknown} method */
function nameIn(method) {
  const [name = "", ...rest] = typeof method === "string" ? method.split("#") : [];
  if (`${METHOD}${rest.join("#")}` !== name) throw new Refused("no-key");
  return name;
}

/** @param {string} name */
function keyNamed(name) {
  const raw = name.startsWith(`${METHOD}z`) ? fromBase58(name.slice(METHOD.length + 1)) : null;
  if (raw?.length !== ED25519.length + KEY_BYTES || !ED25519.every((byte, at) => raw[at] === byte))
    throw new Refused("no-key");
  return raw.slice(ED25519.length);
}

/** @param {unknown} value */
function signatureIn(value) {
  const raw = typeof value === "string" && value.startsWith("z") ? fromBase58(value.slice(1)) : null;
  if (raw?.length !== SIGNATURE_BYTES) throw new Refused("no-signature");
  return raw;
}

/** @param {string} text @returns {Uint8Array|null} */
function fromBase58(text) {
  if (text.length > 2 * SIGNATURE_BYTES || [...text].some((letter) => !LETTERS.includes(letter))) return null;
  let number = 0n;
  for (const letter of text) number = number * 58n + BigInt(LETTERS.indexOf(letter));
  const bytes = [];
  for (; number > 0n; number >>= 8n) bytes.unshift(Number(number & 255n));
  const zeros = /^1*/.exec(text)?.[0].length ?? 0;
  return Uint8Array.from([...new Array(zeros).fill(0), ...bytes]);
}
