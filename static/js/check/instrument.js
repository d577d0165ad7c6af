// Keeps the instrument of a check as a record of its own, and what is offered again at the next check.
import { canonical } from "../engine/canonical.js";
import { localIso } from "../lib/times.js";
import { uuid7 } from "../lib/uuid7.js";
import { keep } from "../outbox/queue.js";
import { remember, remembered } from "../outbox/remembered.js";
import { readsLamps } from "./added.js";
import { OFFERED } from "./draft.js";
import { textAt } from "./entries.js";
import { meterOf } from "./further.js";
import { areTogether, LEARNT, seenPairs } from "./lamps.js";
import { record } from "./log-record.js";
import { lampPrefix, pairsOf } from "./pairs.js";
import { madeBy } from "./saving.js";

/** @import { BodyInstrument, Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "./entries.js" */

/** @typedef {Extract<BodyInstrument, {type: "lamp-tester"}>["lamps"][number]} LampName a lamp with its name */

/**
 * Gives what is worth remembering. Who is sent to another site, or may be, is not offered the last one.
 * @param {Values} values
 * @param {{where?: string}} check a rig's outlet tells nothing of a site
 * @returns {Record<string, any>}
 */
export function worthRemembering(values, { where }) {
  const prefix = lampPrefix(values.outlet);
  const named = pairsOf(values.outlet).map((pair) => `${prefix}.${pair}.called`);
  const lamps = Object.fromEntries([...named, ...LEARNT].map((name) => [name, textAt(values, name)]));
  const kept = OFFERED.filter((name) => where !== "rig" || !name.startsWith("place."));
  return {
    ...Object.fromEntries(
      kept.filter((name) => textAt(values, name) !== "none").map((name) => [name, textAt(values, name)]),
    ),
    ...(where !== "rig" && { outlet: values.outlet, ...(!STAYS.includes(values.verdict ?? "") && LEFT_SITE) }),
    ...(readsLamps(values) && { [`${prefix}s`]: lamps }),
  };
}

const STAYS = ["use", "use-limited"];

/** What is remembered of the site after a refusal. */
export const LEFT_SITE = { "place.site": "" };

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
  return isWhole ? { type: "lamp-tester", name: "Lamp tester", lamps: /** @type {LampName[]} */ (named) } : null;
}
