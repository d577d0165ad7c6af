// A mended reading is judged anew, so that no verdict stands beside readings that it was not made from.

import { broughtEngine } from "../check/engine.js";
import { judge, judgementOf } from "../check/judge.js";
import { canonical } from "../engine/canonical.js";

/**
 * @param {Record<string, any>} mended
 * @param {Record<string, any>} before
 * @param {{rulebook: Record<string, any>|null, supply: string, assess: (input: any, rulebook: any) => Record<string,
 *   any>}} by supply: of the check that a plugging-in belongs to
 * @returns {{record: Record<string, any>}|{problem: string}}
 */
export function judgedAnew(mended, before, { rulebook, supply, assess }) {
  if (!mended.body?.judgement || sameReadings(mended, before)) return { record: mended };
  if (mended.kind === "plug-in") return judgedSkin(mended, rulebook, supply);
  const judged = judge(() => mended.body.check, rulebook, assess);
  return judged.answer ? { record: withJudgement(mended, judgementOf(judged.answer)) } : { problem: judged.failure };
}

const READ = ["check", "skin", "tingle"];
const sameReadings = (one, other) =>
  READ.every((name) => canonical(one.body?.[name] ?? null) === canonical(other.body?.[name] ?? null));
const withJudgement = (record, judgement) => ({ ...record, body: { ...record.body, judgement } });

function judgedSkin(record, rulebook, supply) {
  const { skin, tingle } = record.body;
  if (!rulebook)
    return {
      problem:
        "The rulebook has not been loaded on this phone, so the skin’s reading cannot be judged. What you typed " +
        "is kept.",
    };
  if (!skin && !tingle) return { record: withJudgement(record, { level: "none", rulebook: rulebook.id }) };
  try {
    const volts = skin?.volts === undefined ? null : Number(/^[\d.]+(?= V$)/.exec(skin.volts)[0]);
    const level = broughtEngine()
      .skinLevel({ volts, detected: skin?.detected ?? null, tingle, supply }, rulebook)
      .level.replace("not-tested", "none");
    return { record: withJudgement(record, { level, rulebook: rulebook.id }) };
  } catch (error) {
    console.error(error);
    return { problem: "The skin’s reading could not be judged. What you typed is kept." };
  }
}
