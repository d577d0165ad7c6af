// What the tests of outlets and devices say that were made after a change.

import { assess } from "../check/engine.js";
import { judge } from "../check/judge.js";
import { protect } from "../engine/protect.js";
import { isLoaded, isPress } from "../rig/due.js";
import { momentOf } from "../rig/rig-of.js";
import { nameOf } from "../rig/words.js";
import { rulebook } from "../sync/rulebook.js";

/** @typedef {import("../rig/proving.js").Progress} Progress */

/**
 * @typedef {object} Found
 * @property {string|null} way where the test is made; null where the part stands for nothing that can be tested
 * @property {import("../rig/rig-of.js").Noted} [test] the newest after the change and after what was last bad with
 *   power
 * @property {"good"|"bad"|null} [outcome] null where it decides nothing
 * @property {string} [words] what it said
 */

const VERDICTS = { use: "Use", "use-limited": "Use with limits", "test-more": "Test more", "do-not-use": "Do not use" };
const OUTCOMES = { use: "good", "use-limited": "good", "do-not-use": "bad" };

/** What speaks against the wires and joints up to an outlet, which no verdict but a graver one shows. */
const OF_THE_WAY = ["loop-drop", "loose-joint-hot", "loose-joint-neutral"];

/**
 * @param {Progress} progress
 * @param {import("../engine/proving.js").Step} step
 * @param {Record<string, any>|null} book the rulebook, by which a test under load is judged once more
 * @returns {Found}
 */
export function testFor(progress, step, book = rulebook()) {
  const { rig, map, rules, change, failedAt } = progress;
  const part = map.parts.find(({ id }) => id === step.part);
  const wanted = rules.get(step.rule).record;
  const kind = wanted === "trip-test" ? "device" : "outlet";
  const thing = rig[`${kind}s`].find(({ id }) => id === part?.[kind]);
  if (!thing) return { way: null };
  const after = (each) => momentOf(each) > Math.max(momentOf(change), failedAt);
  if (kind === "device")
    return pressed(
      progress,
      thing,
      rig.newest("trip-test", thing).find((each) => after(each) && isPress(each)),
    );
  const test = rig
    .newest("outlet-test", thing)
    .find((each) => after(each) && (wanted === "outlet-test" || isLoaded(each)));
  const verdict = test?.body.judgement.verdict;
  const outcome = OUTCOMES[verdict] ?? null;
  const against = outcome === "good" && wanted !== "outlet-test" ? againstTheWay(test.body.check, book) : "";
  return {
    way: `/outlets/${thing.id}`,
    test,
    outcome: against ? null : outcome,
    words: [VERDICTS[verdict], against].filter(Boolean).join(". "),
  };
}

/**
 * Limits that allow an outlet to be used leave open whether the joints that were made hold; so does a load that tells
 * nothing.
 */
function againstTheWay(check, book) {
  const { answer, failure } = judge(() => check, book, assess);
  if (!answer) return `What the load tells cannot be judged: ${failure}`;
  const { findings, quantities, explanations } = book.words;
  const told = answer.findings.filter(({ id, level }) => OF_THE_WAY.includes(id) && level !== "note");
  const first = answer.faults[0]?.id;
  const cause = first?.startsWith("high-resistance") ? [`${explanations[first].name}.`] : [];
  const open = answer.supply
    ? []
    : ["The volts with and without the load cannot be compared, so the joints are not shown."];
  const figures = ({ quantity, value, limit }) =>
    `${value.toFixed(1)} ${quantities[quantity].unit}${
      limit === null ? "" : `, the limit is ${limit} ${quantities[quantity].unit}`
    }.`;
  return [...cause, ...told.map((each) => `${findings[each.id].sentence} Here: ${figures(each)}`), ...open].join(" ");
}

/** A trip is whole only where it is noted that all which has to go dead went dead, and that RESET held. */
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
    WORDS.face[face],
    WORDS.reset[reset],
    isStillLive && "an outlet that it guards stayed live",
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

const WORDS = {
  face: { true: "its face went dead", false: "its face stayed LIVE" },
  reset: { true: "it reset", false: "it did NOT reset" },
};

/**
 * Its own face may be noted as an outlet of its own.
 * @returns {boolean|null|undefined} whether it went dead; null where that is not noted, undefined where it has none
 */
function faceOf({ body: { type } }, own, { face_dead: noted, dead, live }) {
  const faces = own.map(({ outlet }) => outlet).filter(Boolean);
  if (noted === false || faces.some((id) => live.includes(id))) return false;
  if (noted === true || faces.some((id) => dead.includes(id))) return true;
  return type === FACED || own.some(({ kind }) => kind === FACED) ? null : undefined;
}

const FACED = "gfci-receptacle";

/**
 * The outlets that the map has behind a device wherever they have power.
 * @returns {Record<string, any>[]} their parts
 */
function guardedBy(map, own) {
  const modes = Object.values(protect(map));
  const isOwn = (guard) => own.some(({ id }) => id === guard);
  const isBehind = ({ id }) =>
    modes.some(({ fed }) => fed.has(id)) && modes.every(({ fed, guards }) => !fed.has(id) || guards[id]?.some(isOwn));
  return map.parts.filter((part) => part.outlet && !own.includes(part) && isBehind(part));
}
