// What the tests of outlets and devices say that were made after a change.

import { assess } from "../check/engine.js";
import { judge } from "../check/judge.js";
import { protect } from "../engine/protect.js";
import { keyOf, restsOf } from "../engine/proving.js";
import { ruleOf } from "../rig/proving.js";
import { isLoaded, isPress, momentOf } from "../rig/rig-of.js";
import { nameOf } from "../rig/words.js";
import { rulebook } from "../sync/rulebook.js";

/** @import { Finding as Against } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { BodyRigMap, BodyTripTest, Check, RigPart } from "../../../schemas/shapes/record.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Step } from "../engine/proving.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { Chain } from "../rig/rig-of.js" */

/**
 * @typedef {object} StepTest
 * @property {string|null} way where the test is made; null where the part stands for nothing that can be tested
 * @property {Chain<"trip-test">|Chain<"outlet-test">} [test] the newest after the change and after what was last bad
 *   with
 *   power
 * @property {"good"|"bad"|null} [outcome] null where it decides nothing
 * @property {string} [words] what it said
 */

const VERDICTS = { use: "Use", "use-limited": "Use with limits", "test-more": "Test more", "do-not-use": "Do not use" };
/** @type {Record<string, "good"|"bad"|undefined>} */
const OUTCOMES = { use: "good", "use-limited": "good", "do-not-use": "bad" };

/** What speaks against the wires and joints up to an outlet, which no verdict but a graver one shows. */
const OF_THE_WAY = ["loop-drop", "loose-joint-hot", "loose-joint-neutral"];

/**
 * @param {Progress} progress
 * @param {Step} step
 * @param {Rulebook|null} book the rulebook, by which a test under load is judged once more
 * @returns {StepTest}
 */
export function testFor(progress, step, book = rulebook()) {
  const { rig, map, change, failedAt } = progress;
  const part = map.parts.find(({ id }) => id === step.part);
  const since = Math.max(change ? momentOf(change) : -Infinity, failedAt, restedAt(progress, step));
  const wanted = ruleOf(progress, step).record;
  if (wanted !== "trip-test") return outletTest(progress, { part, since, isPlain: wanted === "outlet-test", book });
  const device = rig.devices.find(({ id }) => id === part?.device);
  if (!device) return { way: null };
  return pressed(
    progress,
    device,
    rig.newest("trip-test", device).find((each) => momentOf(each) > since && isPress(each)),
  );
}

/**
 * A test that was made before what it rests on was shown with power, such as a load before TEST, shows nothing here.
 * @param {Progress} progress
 * @param {Step} step
 * @returns {number} in milliseconds
 */
function restedAt({ rules, steps, newest }, step) {
  const rests = restsOf([...rules.values()], step.rule, steps);
  const proofs = steps.filter(({ rule }) => rests.has(rule) && rules.get(rule)?.when === "live");
  return Math.max(
    -Infinity,
    ...proofs.flatMap((each) => newest.get(keyOf(each)) ?? []).map((proof) => momentOf(proof)),
  );
}

/**
 * @param {Progress} progress
 * @param {{part: RigPart|undefined, since: number, isPlain: boolean, book: Rulebook|null}} how isPlain: a test without
 *   a load will do
 * @returns {StepTest}
 */
function outletTest({ rig }, { part, since, isPlain, book }) {
  const outlet = rig.outlets.find(({ id }) => id === part?.outlet);
  if (!outlet) return { way: null };
  const way = `/outlets/${outlet.id}`;
  const test = rig.newest("outlet-test", outlet).find((each) => momentOf(each) > since && (isPlain || isLoaded(each)));
  if (!test) return { way, outcome: null, words: "" };
  const { verdict } = test.body.judgement;
  const outcome = OUTCOMES[verdict] ?? null;
  const against = outcome === "good" && !isPlain ? againstTheWay(test.body.check, book) : "";
  return {
    way,
    test,
    outcome: against ? null : outcome,
    words: [VERDICTS[verdict], against].filter(Boolean).join(". "),
  };
}

/**
 * Limits that allow an outlet to be used leave open whether the joints that were made hold; so does a load that tells
 * nothing.
 * @param {Check} check
 * @param {Rulebook|null} book
 */
function againstTheWay(check, book) {
  const { answer, failure } = judge(() => check, book, assess);
  if (!answer || !book) return `What the load tells cannot be judged: ${failure}`;
  const { findings, quantities, explanations } = book.words;
  const told = answer.findings.filter(({ id, level }) => OF_THE_WAY.includes(id) && level !== "note");
  const first = answer.faults[0]?.id;
  const cause = first?.startsWith("high-resistance") ? [`${explanations[first]?.name ?? first}.`] : [];
  const open = answer.supply
    ? []
    : ["The volts with and without the load cannot be compared, so the joints are not shown."];
  /** @param {Against} finding */
  const figures = ({ quantity, value, limit }) => {
    const unit = quantities[quantity ?? ""]?.unit;
    return `${value?.toFixed(1)} ${unit}${limit === null ? "" : `, the limit is ${limit} ${unit}`}.`;
  };
  return [...cause, ...told.map((each) => `${findings[each.id]?.sentence} Here: ${figures(each)}`), ...open].join(" ");
}

/**
 * A trip is whole only where it is noted that all which has to go dead went dead, and that RESET held.
 * @param {Progress} progress
 * @param {Chain<"device">} device
 * @param {Chain<"trip-test">|undefined} test
 * @returns {StepTest}
 */
function pressed({ rig, map }, device, test) {
  const way = `/round#rig=${rig.id}&device=${device.id}`;
  if (!test) return { way };
  const { tripped, reset, dead, live } = test.body;
  const own = map.parts.filter((part) => part.device === device.id);
  const guarded = guardedBy(map, own);
  const face = faceOf(device, own, test.body);
  const isStillLive = guarded.some(({ outlet }) => live.includes(outlet));
  const words = [
    tripped ? "It tripped" : "It did NOT trip",
    WORDS.face[String(face)],
    WORDS.reset[String(reset)],
    isStillLive && "an outlet that the map has behind it stayed live",
  ];
  const isBad = [tripped, face, reset].includes(false) || isStillLive;
  const missing = [
    reset === null && "RESET",
    face === null && "its own face",
    ...guarded.map((part) => !dead.includes(part.outlet) && nameOf(part)),
  ].filter(Boolean);
  const isWhole = tripped === true && !missing.length;
  const more = isBad || isWhole ? "" : `. Not whole, still to be noted: ${missing.join(", ")}`;
  return {
    way,
    test,
    outcome: isBad ? "bad" : isWhole ? "good" : null,
    words: words.filter(Boolean).join(", ") + more,
  };
}

/** @type {Record<"face"|"reset", Record<string, string>>} */
const WORDS = {
  face: { true: "its face went dead", false: "its face stayed LIVE" },
  reset: { true: "it reset", false: "it did NOT reset" },
};

/**
 * Its own face may be noted as an outlet of its own.
 * @param {Chain<"device">} device
 * @param {RigPart[]} own
 * @param {BodyTripTest} told
 * @returns {boolean|null|undefined} whether it went dead; null where that is not noted, undefined where it has none
 */
function faceOf({ body: { type } }, own, { face_dead: noted, dead, live }) {
  const faces = own.flatMap(({ outlet }) => outlet ?? []);
  if (noted === false || faces.some((id) => live.includes(id))) return false;
  if (noted === true || faces.some((id) => dead.includes(id))) return true;
  return type === FACED || own.some(({ kind }) => kind === FACED) ? null : undefined;
}

/** @typedef {RigPart & {outlet: string}} GuardedPart */

const FACED = "gfci-receptacle";

/**
 * The outlets that the map has behind a device wherever they have power.
 * @param {BodyRigMap} map
 * @param {RigPart[]} own
 * @returns {GuardedPart[]} their parts
 */
function guardedBy(map, own) {
  const modes = Object.values(protect(map));
  /** @param {string} guard */
  const isOwn = (guard) => own.some(({ id }) => id === guard);
  /** @param {RigPart} part */
  const isBehind = ({ id }) =>
    modes.some(({ fed }) => fed.has(id)) && modes.every(({ fed, guards }) => !fed.has(id) || guards[id]?.some(isOwn));
  return map.parts.filter(
    /** @returns {part is GuardedPart} */ (part) => Boolean(part.outlet) && !own.includes(part) && isBehind(part),
  );
}
