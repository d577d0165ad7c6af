// Why a signed record is refused, in the words of schemas/verifying.json for every reader.

/** @typedef {Record<string, string>} Words sentences by their ids */

/** Something in a signed record does not hold; its words are found by `said`. */
export class Refused extends Error {
  /** @param {string} reason its id in the table of words @param {Record<string, unknown>} [values] */
  constructor(reason, values = {}) {
    super(reason);
    this.reason = reason;
    this.values = values;
  }
}

/**
 * Gives a sentence of the table with its values.
 * @param {Words} words
 * @param {string} sentence
 * @param {Record<string, unknown>} [values]
 */
export function say(words, sentence, values = {}) {
  const found = words[sentence];
  if (found === undefined) throw new TypeError(`There is no sentence ${sentence}.`);
  return found.replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}
