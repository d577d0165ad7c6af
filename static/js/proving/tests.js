// What the tests of outlets and devices say that were made after a change.
import { protect } from "../engine/protect.js";
import { isLoaded, isPress } from "../outbox/due-rows.js";
import { momentOf } from "../rig/rig-of.js";

/** @typedef {import("./progress.js").Progress} Progress */

/**
 * @typedef {object} Found
 * @property {string|null} way where the test is made; null where the part stands for nothing that can be tested
 * @property {import("../rig/rig-of.js").Noted} [test] the newest after the change
 * @property {"good"|"bad"|null} [outcome] null where it decides nothing
 * @property {string} [words] what it said
 */

const VERDICTS = { use: "Use", "use-limited": "Use with limits", "test-more": "Test more", "do-not-use": "Do not use" };
const OUTCOMES = { use: "good", "use-limited": "good", "do-not-use": "bad" };

/** @param {Progress} progress @param {import("../engine/proving.js").Step} step @returns {Found} */
export function testFor(progress, step) {
  const { rig, map, rules, change } = progress;
  const part = map.parts.find(({ id }) => id === step.part);
  const wanted = rules.get(step.rule).record;
  const kind = wanted === "trip-test" ? "device" : "outlet";
  const thing = rig[`${kind}s`].find(({ id }) => id === part?.[kind]);
  if (!thing) return { way: null };
  const after = (each) => momentOf(each) > momentOf(change);
  if (kind === "device") return pressed(progress, thing, rig.newest("trip-test", thing).find((each) => after(each) && isPress(each)));
  const test = rig.newest("outlet-test", thing).find((each) => after(each) && (wanted === "outlet-test" || isLoaded(each)));
  const verdict = test?.body.judgement.verdict;
  return { way: `/outlets/${thing.id}`, test, outcome: OUTCOMES[verdict] ?? null, words: VERDICTS[verdict] };
}

function pressed({ rig, map }, device, test) {
  const way = `/round#rig=${rig.id}&device=${device.id}`;
  if (!test) return { way };
  const { tripped, face_dead: face, reset, dead, live } = test.body;
  const guarded = guardedBy(map, device.id);
  const words = [tripped ? "It tripped" : "It did NOT trip", WORDS.face[face], WORDS.reset[reset], guarded.some((id) => live.includes(id)) && "an outlet that it guards stayed live"];
  const isBad = [tripped, face, reset].includes(false) || guarded.some((id) => live.includes(id));
  const isWhole = reset === true && (!guarded.length || dead.length > 0);
  return { way, test, outcome: isBad ? "bad" : isWhole ? "good" : null, words: words.filter(Boolean).join(", ") + (isBad || isWhole ? "" : ". Not whole: RESET and what went dead belong to it") };
}

const WORDS = { face: { true: "its face went dead", false: "its face stayed LIVE" }, reset: { true: "it reset", false: "it did NOT reset" } };

/** The outlets that the map has behind a device wherever they have power. @returns {string[]} ids of outlets */
function guardedBy(map, device) {
  const own = map.parts.filter((part) => part.device === device).map(({ id }) => id);
  const modes = Object.values(protect(map));
  const isBehind = ({ id }) => modes.some(({ fed }) => fed.has(id)) && modes.every(({ fed, guards }) => !fed.has(id) || guards[id]?.some((guard) => own.includes(guard)));
  return map.parts.filter((part) => part.outlet && !own.includes(part.id) && isBehind(part)).map(({ outlet }) => outlet);
}
