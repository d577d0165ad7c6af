// Keeps what a check found as records: first on this phone, then on its way to the server.
import { canonical } from "../engine/canonical.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { refuseOthers } from "../outbox/drafts.js";
import { keep } from "../outbox/queue.js";
import { remember, remembered } from "../outbox/remembered.js";
import { typist, worthRemembering } from "./draft.js";
import { meterOf } from "./further.js";
import { areTogether, seenPairs } from "./lamps.js";
import { lampPrefix, pairsOf } from "./pairs.js";
import { record } from "./record.js";

/** @import { BodyInstrument, Check, LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Draft } from "./draft.js" */
/** @import { Values } from "./entries.js" */

/** @typedef {Extract<BodyInstrument, {type: "lamp-tester"}>["lamps"][number]} Named a lamp with its name */

/**
 * @typedef {object} Kept what a record holds besides its name, its time and who made it
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
 * @param {Kept} members
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

/**
 * Keeps the meter or the lamp tester as a record of its own, unless the remembered one is the same.
 * @param {Values} values
 * @param {Pick<Check, "volts"|"lamps"|"where">} check
 * @param {string|null} [typedBy] the account that began the check
 * @returns {Promise<string|null>} its id
 */
export async function keepInstrument(values, check, typedBy) {
  const made_by = await madeBy(typedBy);
  await remember(worthRemembering(values, check));
  const body = check.volts ? meterBody(values) : check.lamps ? lampsBody(values) : null;
  if (!body) return null;
  const known = (await remembered())[`instrument.${body.type}`];
  const told = canonical(body);
  if (known?.told === told) return known.id;
  const id = uuid7();
  await keep(record({ id, kind: "instrument", observed_at: localIso(new Date()), made_by, body }), typedBy);
  await remember({ [`instrument.${body.type}`]: { id, told } });
  return id;
}

/** @param {Values} values @returns {BodyInstrument} */
const meterBody = (values) => ({
  type: "meter",
  name: `Meter, ${values["meter.input"] || "high-impedance"}`,
  ...meterOf(values),
  category: values["ready.category"] || null,
});

/**
 * @param {Values} values
 * @returns {BodyInstrument|null} null where the person did not name the lamps, in the order in which they are seen;
 *   a tester with four contacts may lack some, and of lamps not yet told apart only the third is known
 */
function lampsBody(values) {
  const prefix = lampPrefix(values.outlet);
  const pairs = prefix === "lamp" ? seenPairs(values) : pairsOf(values.outlet);
  const lamps = pairs.map((pair) => ({
    called: (values[`${prefix}.${pair}.called`] ?? "").trim(),
    pair,
  }));
  const named = lamps.filter(({ called }) => called);
  const isWhole = prefix === "lamp" && !areTogether(values) ? named.length === lamps.length : named.length > 0;
  return isWhole ? { type: "lamp-tester", name: "Lamp tester", lamps: /** @type {Named[]} */ (named) } : null;
}
