// What the rulebook knows about an outlet's family: its wirings, its tests, and the words that differ for it.

/** @param {Record<string, any>} rulebook @param {string} outlet @returns {Record<string, any>} */
export const familyOf = (rulebook, outlet) => rulebook.families[rulebook.outlets[outlet].family];

/**
 * Gives an entry of the rulebook's words as it is said of this outlet.
 * @param {Record<string, any>} rulebook
 * @param {string} outlet
 * @param {"explanations"|"tests"} kind
 * @param {string} id
 * @returns {Record<string, any>} empty where there are no words
 */
export function wordsOf(rulebook, outlet, kind, id) {
  const said = rulebook.words[kind][id] ?? {};
  return { ...said, ...said[rulebook.outlets[outlet]?.family] };
}

/** @param {string|string[]|undefined} sentences @returns {string[]} one sentence or a list of them, as a list */
export const listOf = (sentences) => [sentences ?? []].flat();
