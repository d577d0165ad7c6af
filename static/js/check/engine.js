// The one place where pages meet the engine.
import { assess } from "../engine/assess.js";

export { assess };

/**
 * Throws where a rulebook is damaged; a whole one is then ready to judge without delay.
 * @param {Record<string, any>} rulebook
 */
export function checkRulebook(rulebook) {
  assess({ outlet: Object.keys(rulebook.outlets)[0], look: [] }, rulebook);
}
