// The one place where pages meet the engine.
import { assess } from "../engine/assess.js";

export { assess };

/**
 * Throws where a rulebook is damaged. A whole one has then judged once, so that the first verdict is not the slow one.
 * @param {Record<string, any>} rulebook
 */
export function checkRulebook(rulebook) {
  const volts = { "h-n": 120, "h-g": 120, "n-g": 0 };
  const lamps = { "h-n": "lit", "h-g": "lit", "n-g": "dark" };
  assess({ outlet: Object.keys(rulebook.outlets)[0], look: [], volts, lamps }, rulebook);
}
