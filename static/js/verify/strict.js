// Reads JSON so that one text has one meaning, or none. The same stands in fieldlog/bundle/strict.py.
import { Refused } from "./refused.js";

export const MOST_BYTES = 64 * 1024 * 1024;
const DEEPEST = 60;
const NUMBER = /-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?/y;
const WHOLE = /^-?[0-9]+$/;
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are just what JSON forbids in a string.
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
const SPACE = /[ \t\n\r]*/y;
const NO_NUMBER = /-?(?:NaN|Infinity)/y;

/**
 * Reads a JSON text.
 * @param {Uint8Array} bytes
 * @returns {unknown}
 */
export function readStrictly(bytes) {
  if (bytes.length > MOST_BYTES) throw new Refused("too-large", { most: MOST_BYTES / 1024 ** 2 });
  const reader = new Reader(decoded(bytes));
  const value = reader.value(0);
  reader.end();
  return value;
}

/** @param {Uint8Array} bytes */
function decoded(bytes) {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw new Refused("no-utf-8");
  }
}

class Reader {
  #at = 0;

  /** @param {string} text */
  constructor(text) {
    this.text = text;
  }

  /** @param {number} depth how many lists and objects stand around it @returns {unknown} */
  value(depth) {
    this.#match(SPACE);
    const first = this.text[this.#at];
    if (first === "{" || first === "[") {
      if (depth >= DEEPEST) throw new Refused("too-deep", { most: DEEPEST });
      return first === "{" ? this.#object(depth + 1) : this.#list(depth + 1);
    }
    if (first === '"') return this.#string();
    for (const [word, value] of WORDS) if (this.#takes(word)) return value;
    return this.#number();
  }

  end() {
    this.#match(SPACE);
    if (this.#at !== this.text.length) throw new Refused("no-json");
  }

  /** @param {number} depth */
  #object(depth) {
    /** @type {Record<string, unknown>} */
    const found = Object.create(null);
    this.#at += 1;
    if (this.#next("}")) return found;
    do {
      this.#match(SPACE);
      const name = this.#string();
      if (!this.#next(":")) throw new Refused("no-json");
      const value = this.value(depth);
      if (Object.hasOwn(found, name)) throw new Refused("twice", { name: name.slice(0, 40) });
      found[name] = value;
    } while (this.#next(","));
    if (!this.#next("}")) throw new Refused("no-json");
    return found;
  }

  /** @param {number} depth */
  #list(depth) {
    /** @type {unknown[]} */
    const found = [];
    this.#at += 1;
    if (this.#next("]")) return found;
    do found.push(this.value(depth));
    while (this.#next(","));
    if (!this.#next("]")) throw new Refused("no-json");
    return found;
  }

  #string() {
    const raw = this.#match(STRING);
    if (!raw) throw new Refused("no-json");
    const value = /** @type {string} */ (JSON.parse(raw));
    if (/[\ud800-\udfff]/u.test(value)) throw new Refused("no-utf-8");
    return value;
  }

  #number() {
    if (this.#match(NO_NUMBER)) throw new Refused("no-number");
    const raw = this.#match(NUMBER);
    if (!raw) throw new Refused("no-json");
    const value = Number(raw);
    const isExact = WHOLE.test(raw) ? raw.length <= 17 && Number.isSafeInteger(value) : Number.isFinite(value);
    if (!isExact) throw new Refused("no-number");
    return value;
  }

  /** @param {string} sign whether it stands next, after space */
  #next(sign) {
    this.#match(SPACE);
    return this.#takes(sign);
  }

  /** @param {string} word */
  #takes(word) {
    if (!this.text.startsWith(word, this.#at)) return false;
    this.#at += word.length;
    return true;
  }

  /** @param {RegExp} form @returns {string} */
  #match(form) {
    form.lastIndex = this.#at;
    const found = form.exec(this.text)?.[0] ?? "";
    this.#at += found.length;
    return found;
  }
}

/** @type {[string, boolean|null][]} */
const WORDS = [
  ["true", true],
  ["false", false],
  ["null", null],
];
