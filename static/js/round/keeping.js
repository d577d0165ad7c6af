// A round under way, and the records that it makes: one a step, and one of the whole.
import { newDraft } from "../check/draft.js";
import { keepInstrument } from "../check/instrument.js";
import { record } from "../check/log-record.js";
import { checkBody } from "../check/record.js";
import { keepOnce, madeBy } from "../check/saving.js";
import { localIso } from "../lib/times.js";
import { keep, rowOf } from "../outbox/queue.js";

/** @import { Judgement, LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "../check/entries.js" */
/** @import { Step } from "./steps.js" */

/**
 * @typedef {object} Round kept as a draft until it ends
 * @property {string} started_at
 * @property {string[]} steps keys, in order
 * @property {Record<string, Record<string, string>>} answers by step
 * @property {Record<string, Record<string, {id: string, told: string, tests?: string[]}>>} saved the records that
 *   were kept, by step and kind
 * @property {Record<string, string>} before records of steps that are being tested once more
 * @property {Record<string, string>} came in words, by step
 * @property {Record<string, string>} skipped why, by step
 * @property {string} supply what feeds the rig, once it was said
 * @property {string|null} [account] under which it was begun
 * @property {string} dry the day on which it was said to be dry
 * @property {number} [touched] when it was last written; one that never was has not begun
 * @property {string} [end] the id of its record, made after those that it names, since what waits is sent in that order
 */

/** @param {string[]} steps @param {string|null} account @returns {Round} */
export const newRound = (steps, account) => ({
  account,
  started_at: localIso(new Date()),
  steps,
  answers: {},
  saved: {},
  before: {},
  came: {},
  skipped: {},
  supply: "",
  dry: "",
});

/** @param {string} rig @returns {string} the name of its draft */
export const draftOf = (rig) => `round-${rig}`;

/**
 * @param {Round} round
 * @param {Step} step
 * @returns {string|undefined} the id of the record that the answers on screen made
 */
export const keptOf = (round, { key }) => Object.values(round.saved[key] ?? {})[0]?.id;

/**
 * @param {Round} round
 * @param {Step} step
 * @returns {string|null} the id of the last record that the round made of it
 */
export const recordOf = (round, step) => keptOf(round, step) ?? round.before[step.key] ?? null;

/** A second test is no correction of the first. @param {Round} round @param {Step} step */
export function testAgain(round, step) {
  const last = recordOf(round, step);
  if (last) round.before[step.key] = last;
  round.saved[step.key] = {};
  round.answers[step.key] = {};
}

/**
 * Keeps what was found at a step; the same again is kept once, something else corrects it.
 * @param {Round} round
 * @param {Step} step
 * @param {{rig: string, kind: LogRecord["kind"], body: object, instrument?: string|null}} members
 * @returns {Promise<string>} the record's id
 */
export async function keepStep(round, step, { kind, ...members }) {
  const saved = round.saved[step.key] ?? {};
  round.saved[step.key] = saved;
  const id = await keepOnce({ saved, account: round.account }, { kind, subject: step.subject, ...members });
  delete round.skipped[step.key];
  return id;
}

/**
 * What a check of lamps is made from: the values that the pages of a check would have.
 * @param {Record<string, string>} shown
 * @returns {Promise<Values>}
 */
export async function lampValues(shown) {
  const { values } = await newDraft();
  return { ...values, by: "lamps", "ready.dry": "yes", looked: "no", ...shown };
}

/**
 * The tester becomes the record's instrument; what the person usually tests with stays what it was.
 * @param {Values} values
 * @param {Judgement} judgement
 * @returns {Promise<{kind: LogRecord["kind"], instrument: string|null, body: object}>}
 */
export async function lampTest(values, judgement) {
  const body = checkBody(values, { where: "rig", trips: false, judgement });
  const { values: usual } = await newDraft();
  return { kind: "outlet-test", instrument: await keepInstrument({ ...values, by: usual.by ?? "" }, body.check), body };
}

/**
 * Keeps the round itself; what has no record was skipped.
 * @param {Round} round
 * @param {string} rig
 * @param {{step: Step, shownBy: string|null}[]} came
 */
export async function keepRound(round, rig, came) {
  const steps = came.map(({ step: { key, what, subject, of }, shownBy }) => ({
    what,
    subject,
    of,
    record: shownBy,
    skipped: shownBy === null,
    why: shownBy === null ? (round.skipped[key] ?? "") : "",
  }));
  if (!round.end || (await rowOf(round.end))) return;
  await keep(
    record({
      id: round.end,
      kind: "round",
      rig,
      observed_at: localIso(new Date()),
      made_by: await madeBy(),
      body: { started_at: round.started_at, steps },
    }),
    round.account,
  );
}
