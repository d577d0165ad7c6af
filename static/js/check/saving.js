// Keeps what a check found as records: first on this phone, then on its way to the server.
import { canonical } from "../engine/canonical.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { refuseOthers } from "../outbox/drafts.js";
import { keep } from "../outbox/queue.js";
import { typist } from "./draft.js";
import { record } from "./log-record.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Draft } from "./draft.js" */

/**
 * @typedef {object} RecordContent what a record holds besides its name, its time and who made it
 * @property {LogRecord["kind"]} kind
 * @property {string|null} [rig]
 * @property {string|null} [subject]
 * @property {string|null} [instrument]
 * @property {object} body
 */

const CHANGED = "Went back and changed what was entered, during the same check.";

/**
 * Keeps a record of the draft, once: the same again is left alone, something else becomes a correction of it.
 * @param {Pick<Draft, "saved"|"account">} draft
 * @param {RecordContent} members
 * @param {{tests?: string[], name?: (test: string) => string, page?: string}} [added] the added tests that the body
 *   holds, and what each is called; the page whose draft it is, to be kept with the record
 * @returns {Promise<string>} the id of the record that now stands for it
 */
export async function keepOnce(draft, members, { tests = [], name = String, page = "" } = {}) {
  const earlier = draft.saved[members.kind];
  const told = toldBy(members.body);
  if (earlier?.told === told) return earlier.id;
  const id = uuid7();
  const fresh = tests.filter((test) => !earlier?.tests?.includes(test));
  const correction = earlier
    ? { corrects: earlier.id, reason: fresh.length ? `Test added: ${fresh.map(name).join("; ")}.` : CHANGED }
    : {};
  const saved = { ...draft.saved, [members.kind]: { id, told, tests } };
  const made = record({ id, observed_at: localIso(new Date()), made_by: await madeBy(), ...members, ...correction });
  await keep(made, draft.account, page ? { page, draft: { ...draft, saved } } : undefined);
  Object.assign(draft.saved, saved);
  return id;
}

/** What a person told; the judgement follows from it. @param {object} body */
function toldBy(body) {
  const { judgement: _, ...told } = /** @type {{judgement?: unknown}} */ (body);
  return canonical(told);
}

/** @param {string|null} [typedBy] the account that began it @returns {Promise<string>} */
export async function madeBy(typedBy) {
  const account = await typist();
  refuseOthers(typedBy, account);
  return (account ?? "").slice(0, 80);
}
