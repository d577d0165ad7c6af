// Keeps what a check found as records: first on this phone, then on its way to the server.
import { canonical } from "../engine/canonical.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { refuseOthers } from "../outbox/drafts.js";
import { keep } from "../outbox/queue.js";
import { remember, remembered } from "../outbox/remembered.js";
import { typist, worthRemembering } from "./draft.js";
import { meterOf } from "./further.js";
import { lampPrefix, pairsOf } from "./pairs.js";
import { record } from "./record.js";

/** @typedef {import("./draft.js").Draft} Draft */

const CHANGED = "Went back and changed what was entered, during the same check.";

/**
 * Keeps a record of the draft, once: the same again is left alone, something else becomes a correction of it.
 * @param {Draft} draft
 * @param {{kind: string, rig?: string|null, subject?: string|null, instrument?: string|null, body: Record<string,
 *   any>}} members
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
  await keep(made, draft.account, page && { page, draft: { ...draft, saved } });
  Object.assign(draft.saved, saved);
  return id;
}

/** What a person told; the judgement follows from it. */
function toldBy(body) {
  const { judgement: _, ...told } = body;
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
 * @param {import("./entries.js").Values} values
 * @param {Record<string, any>} check
 * @param {string|null} [typedBy] the account that began the check
 * @returns {Promise<string|null>} its id
 */
export async function keepInstrument(values, check, typedBy) {
  const made_by = await madeBy(typedBy);
  await remember(worthRemembering(values));
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

const meterBody = (values) => ({
  type: "meter",
  name: `Meter, ${values["meter.input"] || "high-impedance"}`,
  ...meterOf(values),
  category: values["ready.category"] || null,
});

/**
 * @returns {Record<string, any>|null} null where the person did not name the lamps; a tester with four contacts may
 *   lack some
 */
function lampsBody(values) {
  const prefix = lampPrefix(values.outlet);
  const lamps = pairsOf(values.outlet).map((pair) => ({
    called: (values[`${prefix}.${pair}.called`] ?? "").trim(),
    pair,
  }));
  const named = lamps.filter(({ called }) => called);
  const isWhole = prefix === "lamp" ? named.length === lamps.length : named.length > 0;
  return isWhole ? { type: "lamp-tester", name: "Lamp tester", lamps: named } : null;
}
