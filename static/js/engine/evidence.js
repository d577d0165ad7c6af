// What the readings show or leave open, and whether they are enough. Twin of fieldlog/engine/evidence.py.

import { LAMP_PAIRS } from "./check.js";
import { isUsable } from "./explanations.js";
import { has } from "./intake.js";
import { finding, OWN_CHOICE, PRACTICE } from "./limits.js";
import { lampsAlone } from "./reading-sets.js";
import { liveSets } from "./sets.js";

/** @import { Check, ReadingSet } from "./check.js" */
/** @import { Explained } from "./explanations.js" */
/** @import { Opened } from "./rulebook.js" */
/** @import { Limit } from "../../../schemas/shapes/rulebook.d.ts" */

const SPLIT_PHASE = "split-phase";
const LOST_UPSTREAM = "neutral-lost-upstream";
const BONDED = "neutral-ground-bonded";
const FLOATING = "floating-supply";
const OTHER = "other";

/**
 * Tell whether enough was read for a verdict of use or use with limits.
 * @param {Check} check
 * @param {Opened} rulebook
 */
export function hasLeastEvidence(check, rulebook) {
  if (rulebook.familyOf(check.outlet).id === SPLIT_PHASE) {
    return hasLegs(check) && contactsNotShown(check, rulebook).length === 0;
  }
  return liveSets(check).some((one) =>
    [one.volts, one.lamps].some((read) => LAMP_PAIRS.every((pair) => has(read, pair))),
  );
}

/** @param {Check} check */
function hasLegs(check) {
  const read = new Set(liveSets(check).flatMap(({ volts }) => Object.keys(volts)));
  return ["x-y", "x-n", "y-n", "n-g"].every((pair) => read.has(pair)) && (read.has("x-g") || read.has("y-g"));
}

/**
 * Name the open contacts of a four-wire outlet that nothing read so far would have shown.
 * @param {Check} check
 * @param {Opened} rulebook
 */
export function contactsNotShown(check, rulebook) {
  if (rulebook.familyOf(check.outlet).id !== SPLIT_PHASE) return [];
  const neutral = isNeutralShown(check, rulebook) ? [] : ["open-neutral"];
  return isGroundShown(check, rulebook) ? neutral : [...neutral, "open-ground"];
}

/** @param {Check} check @param {Opened} rulebook */
function isNeutralShown(check, rulebook) {
  const isLoaded = liveSets(check).some(
    ({ loaded }) => loaded !== null && loaded.across !== "x-y" && Object.keys(loaded.volts).length > 0,
  );
  return isLoaded || isDrained(check, ["x-n", "y-n"]) || lampsExclude("open-neutral", check, rulebook);
}

/** @param {Check} check @param {Opened} rulebook */
const isGroundShown = (check, rulebook) =>
  isDrained(check, ["x-g", "y-g"]) || lampsExclude("open-ground", check, rulebook);

/**
 * Tell whether one of the pairs was read by a low-impedance meter, which drains ghost readings.
 * @param {Check} check
 * @param {string[]} pairs
 */
function isDrained(check, pairs) {
  const sets = liveSets(check).filter(({ meter }) => meter.input === "low-impedance");
  return sets.some(({ volts }) => pairs.some((pair) => has(volts, pair)));
}

/**
 * Tell whether the lamps speak against an open contact: equal ones on both legs hold it in the middle.
 * @param {string} name
 * @param {Check} check
 * @param {Opened} rulebook
 */
function lampsExclude(name, check, rulebook) {
  if (!liveSets(check).some(({ lamps }) => Object.keys(lamps).length > 0)) return false;
  const family = rulebook.familyOf(check.outlet);
  const right = lampsAlone(check, "correct", family, rulebook);
  return lampsAlone(check, name, family, rulebook) < rulebook.limit("ruled-out-below") * right;
}

/**
 * Name what the readings leave open, and what stands out among the explanations.
 * @param {Check} check
 * @param {Explained} found
 * @param {Opened} rulebook
 */
export function evidenceFindings(check, found, rulebook) {
  return [
    ...liveWithBreakerOff(check, rulebook),
    ...voltsNotMeasured(check),
    ...unshownFindings(check, rulebook),
    ...aboutFirst(check, found, rulebook),
  ];
}

/** @param {Check} check @param {Opened} rulebook */
function liveWithBreakerOff(check, { limits }) {
  const off = check.sets.filter(({ state }) => state === "breaker-off");
  return off.flatMap((one) => live(one, limits["off-volts"]));
}

/** @param {ReadingSet} one @param {Limit} border */
function live({ lamps, volts, meter }, { value: limit, source }) {
  const name = "live-with-breaker-off";
  const lit = Object.keys(lamps).filter((pair) => lamps[pair] === "lit");
  const over = Object.keys(volts).filter((pair) => meter.input === "low-impedance" && volts[pair] > limit);
  return [
    ...lit.map((pair) => finding(name, "stop", PRACTICE, { quantity: pair })),
    ...over.map((pair) => finding(name, "stop", source, { quantity: pair, value: volts[pair], limit })),
  ];
}

/** @param {Check} check */
function voltsNotMeasured(check) {
  const sets = liveSets(check);
  const hasLamps = sets.some(({ lamps }) => Object.keys(lamps).length > 0);
  const hasLevel = sets.some(({ volts }) => ["h-n", "x-n", "y-n"].some((pair) => has(volts, pair)));
  return hasLamps && !hasLevel ? [finding("volts-not-measured", "limit", OWN_CHOICE)] : [];
}

/** @param {Check} check @param {Opened} rulebook */
function unshownFindings(check, rulebook) {
  const hasVolts = liveSets(check).some(({ volts }) => Object.keys(volts).length > 0);
  const isOpen = hasVolts && contactsNotShown(check, rulebook).length > 0;
  return isOpen ? [finding("neutral-and-ground-not-shown", "limit", OWN_CHOICE)] : [];
}

/** @param {Check} check @param {Explained} found @param {Opened} rulebook */
function aboutFirst(check, { first, unnamed }, rulebook) {
  const found = [];
  if (first === FLOATING && check.supply !== "utility" && !has(check.continuity, "g-frame")) {
    found.push(finding("ground-not-shown", "limit", OWN_CHOICE));
  }
  if (first === BONDED) {
    const { wirings } = rulebook.familyOf(check.outlet);
    if (wirings.some((wiring) => wiring.id === BONDED && isUsable(wiring, check))) {
      found.push(finding("neutral-bonded-at-source", "note", PRACTICE));
    }
  }
  if (first === OTHER && unnamed === LOST_UPSTREAM) found.push(finding(LOST_UPSTREAM, "stop", PRACTICE));
  else if (first === OTHER && unnamed) found.push(finding("unnamed-wiring", "note", OWN_CHOICE, { quantity: unnamed }));
  return found;
}
