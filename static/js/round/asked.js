// What the screen of a step is about.
import { textAt } from "../check/entries.js";
import { THREE_WIRE } from "../engine/contacts.js";
import { endsOf } from "../rig/ends.js";
import { modesToAsk } from "./answers.js";
import { outletsBeside, pointsOf } from "./steps.js";

/** @import { Values } from "../check/entries.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { Round } from "./keeping.js" */
/** @import { RoundKnowledge } from "./known.js" */
/** @import { StepScreen } from "./screens.js" */
/** @import { Step } from "./steps.js" */

/** What was noted of the printed ends is offered again. @param {Rig} rig */
const endAnswers = (rig) => Object.fromEntries(Object.entries(endsOf(rig)).map(([id, month]) => [`end.${id}`, month]));

/**
 * @param {Step} step
 * @param {{known: RoundKnowledge, round: Round, lamps: Values, today: string}} at lamps: what is remembered of the
 *   tester
 * @returns {StepScreen}
 */
export function askedAt(step, { known: { rig, map, looks }, round, lamps, today }) {
  const device = rig.devices.find(({ id }) => id === step.subject);
  const outlet = rig.outlets.find(({ id }) => id === step.subject);
  const cordSet = rig.sets.find(({ id }) => id === step.subject);
  const pressed = step.what === "device" ? step.subject : null;
  return {
    step,
    rig: rig.id,
    answers: round.answers[step.key] ?? (step.of === "alarms" ? endAnswers(rig) : {}),
    type: device?.body.type,
    outlet: outlet?.body.outlet,
    outlets: pressed ? outletsBeside(rig, map, pressed) : [],
    modes: pressed ? modesToAsk(map, pressed) : [],
    points: pointsOf(looks, map, step, cordSet?.body.hots),
    keeper: rig.body.assured_by || undefined,
    called: Object.fromEntries(THREE_WIRE.usual.map((pair) => [pair, textAt(lamps, `lamp.${pair}.called`)])),
    isDry: round.dry === today,
    supply: round.supply,
  };
}
