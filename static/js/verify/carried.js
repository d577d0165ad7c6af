// Takes a signed record out of the PDF that carries it, as fieldlog/bundle/carried.py does; what the pages show is not
// asked. Only files embedded in it are looked at, whose dictionaries stand in the clear (ISO 32000-1, 7.5.7, 7.11.4).
import { Refused } from "./refused.js";
import { MOST_BYTES } from "./strict.js";

const PDF = "%PDF-";
const EMBEDDED = /\/Type\s*\/EmbeddedFile(?!s)/g;
const BEGIN = /\bobj\b/g;
const STREAM = />>\s*stream\r?\n/g;
const LENGTH = /\/Length\s+(\d+)(?!\s+\d+\s+R)/;
const OBJECT = "{".charCodeAt(0);

/**
 * Gives the signed record in a file, the file itself where it is no PDF; throws Refused for a PDF that carries none, or
 * more than one.
 * @param {Uint8Array} file
 */
export async function recordIn(file) {
  if (latin(file.subarray(0, PDF.length)) !== PDF) return file;
  if (typeof DecompressionStream === "undefined") throw new Refused("no-unpacking");
  const text = latin(file);
  const found = [];
  for (const { index } of text.matchAll(EMBEDDED)) {
    const held = await embeddedAt(file, text, index);
    if (held?.[0] === OBJECT) found.push(held);
  }
  if (found.length !== 1 || !found[0]) throw new Refused("no-record-in-pdf");
  return found[0];
}

/** One letter a byte. @param {Uint8Array} bytes */
const latin = (bytes) => new TextDecoder("latin1").decode(bytes);

/** @param {Uint8Array} file @param {string} text @param {number} index in its dictionary */
async function embeddedAt(file, text, index) {
  STREAM.lastIndex = index;
  const stream = STREAM.exec(text);
  const dictionary = stream && text.slice(beginBefore(text, index), stream.index);
  const [, length] = (dictionary && LENGTH.exec(dictionary)) || [];
  if (!stream || !dictionary || !length) return null;
  const raw = file.subarray(STREAM.lastIndex, STREAM.lastIndex + Number(length));
  if (!dictionary.includes("/Filter")) return raw;
  return /\/Filter\s*\[?\s*\/FlateDecode\s*\]?\s*(\/(?!DecodeParms)|$)/.test(dictionary) ? unpacked(raw) : null;
}

/** @param {string} text @param {number} index */
function beginBefore(text, index) {
  const near = Math.max(0, index - 2000);
  const last = [...text.slice(near, index).matchAll(BEGIN)].at(-1);
  return last ? near + last.index : index;
}

/** @param {Uint8Array} packed @returns {Promise<Uint8Array|null>} nothing where it is damaged */
async function unpacked(packed) {
  const parts = [];
  let size = 0;
  try {
    const stream = new Blob([packed.slice()]).stream().pipeThrough(new DecompressionStream("deflate"));
    for (const reader = stream.getReader(); ; ) {
      const { done, value } = await reader.read();
      if (done) break;
      parts.push(value);
      size += value.length;
      if (size > MOST_BYTES) throw new Refused("too-large", { most: MOST_BYTES / 1024 ** 2 });
    }
  } catch (error) {
    if (error instanceof Refused) throw error;
    return null;
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}
