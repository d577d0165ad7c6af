// A mended reading is judged anew, so that no verdict stands beside readings that it was not made from.

import { broughtEngine } from "../check/engine.js";
import { judge, judgementOf } from "../check/judge.js";
import { readSkin } from "../check/skin.js";
import { canonical } from "../engine/canonical.js";

/** @typedef {{record: Record<string, any>, problem?: undefined}|{problem: string, record?: undefined}} MendOutcome */

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

/**
 * @param {Record<string, any>} mended
 * @param {Record<string, any>} before
 * @param {{rulebook: Rulebook|null, supply: string, assess: (input: unknown, rulebook: Rulebook) => Assessed}} by
 *   supply: of the check that a plugging-in belongs to
 * @returns {MendOutcome}
 */
export function judgedAnew(mended, before, { rulebook, supply, assess }) {
  if (!mended.body?.judgement || sameReadings(mended, before)) return { record: mended };
  if (mended.kind === "plug-in") return judgedSkin(mended, rulebook, supply);
  const judged = judge(() => mended.body.check, rulebook, assess);
  return judged.answer ? { record: withJudgement(mended, judgementOf(judged.answer)) } : { problem: judged.failure };
}

const READ = ["check", "skin", "tingle"];
/** @param {Record<string, any>} one @param {Record<string, any>} other */
const sameReadings = (one, other) =>
  READ.every((name) => canonical(one.body?.[name] ?? null) === canonical(other.body?.[name] ?? null));
/** @param {Record<string, any>} record @param {Record<string, any>} judgement */
const withJudgement = (record, judgement) => ({ ...record, body: { ...record.body, judgement } });

/** @param {Record<string, any>} record @param {Rulebook|null} rulebook @param {string} supply @returns {MendOutcome} */
function judgedSkin(record, rulebook, supply) {
  const { skin, tingle } = record.body;
  if (!rulebook)
    return {
      problem:
        "The rulebook has not been loaded on this phone, so the skin’s reading cannot be judged. What you typed " +
        "is kept.",
    };
  try {
    const { level } = broughtEngine().skinLevel({ ...readSkin(skin), tingle, supply }, rulebook);
    return { record: withJudgement(record, { level, rulebook: rulebook.id }) };
  } catch (error) {
    console.error(error);
    return { problem: "The skin’s reading could not be judged. What you typed is kept." };
  }
}
