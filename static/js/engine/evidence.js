// What the readings show or leave open, and whether they are enough. Twin of fieldlog/engine/evidence.py.

import { THREE_WIRE } from "./contacts.js";
import { CORRECT, isUsable } from "./explanations.js";
import { has } from "./intake.js";
import { finding, NO_DEVICE, OWN_CHOICE, PRACTICE } from "./limits.js";
import { closes, missesBy } from "./loops.js";
import { lampsAlone } from "./reading-sets.js";
import { liveSets } from "./sets.js";

/** @import { Check, Link, ReadingSet } from "./check.js" */
/** @import { Explanations } from "./explanations.js" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Finding } from "../../../schemas/shapes/assessed.d.ts" */

const SPLIT_PHASE = "split-phase";
const LOW_IMPEDANCE = "low-impedance";
const HOTS = ["h", "x", "y"];
const NEUTRAL_TO_GROUND = "n-g";
const BEHIND_DEVICE = ["5-15", "5-20"];
const EVEN_LAMPS = "voltage divider: beside 1.5 to 6 nF lamps of 250 kilohm take 54 and 48 % of the volts at most";
const LOST_UPSTREAM = "neutral-lost-upstream";
const BONDED = "neutral-ground-bonded";
const FLOATING = "floating-supply";
const OTHER = "other";

/**
 * Tell whether enough was read for a verdict of use or use with limits.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function hasLeastEvidence(check, rulebook) {
  if (rulebook.familyOf(check.outlet).id === SPLIT_PHASE) {
    return hasLegs(check) && contactsNotShown(check, rulebook).length === 0;
  }
  return liveSets(check).some((one) =>
    [one.volts, one.lamps].some((read) => THREE_WIRE.usual.every((pair) => has(read, pair))),
  );
}

/** @param {Check} check */
function hasLegs(check) {
  const read = new Set(liveSets(check).flatMap(({ volts }) => Object.keys(volts)));
  return ["x-y", "x-n", "y-n", "n-g"].every((pair) => read.has(pair)) && (read.has("x-g") || read.has("y-g"));
}

/**
 * Tell whether a meter read every pair of the least evidence.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function isAllReadByMeter(check, rulebook) {
  if (rulebook.familyOf(check.outlet).id === SPLIT_PHASE) return hasLegs(check);
  return liveSets(check).some(({ volts }) => THREE_WIRE.usual.every((pair) => has(volts, pair)));
}

/**
 * Tell whether a neutral stands so far off that it may be lost; half as far between two legs, and where it gives in.
 * @param {Finding} lifted
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function isNeutralInDoubt({ value }, check, rulebook) {
  const volts = value ?? 0;
  const isSplit = rulebook.familyOf(check.outlet).id === SPLIT_PHASE;
  const isLoose = (isSplit && !isLegLoaded(check)) || givesIn(check, rulebook);
  return volts >= rulebook.limit("neutral-lifted-test") || (volts >= rulebook.limit("neutral-lifted-limit") && isLoose);
}

/**
 * Tell whether a low-impedance meter's readings of a hot, neutral and ground miss by more than errors.
 * @param {Check} check
 * @param {Rules} rulebook
 */
function givesIn(check, rulebook) {
  const margin = rulebook.limit("loop-misses");
  /** @type {[string, string, string]} */
  const loop = ["h-n", "h-g", NEUTRAL_TO_GROUND];
  return liveSets(check).some(
    ({ meter, volts }) =>
      meter.input === LOW_IMPEDANCE &&
      loop.every((pair) => has(volts, pair)) &&
      missesBy(loop, volts, meter, rulebook) + margin > 0,
  );
}

/** @param {Check} check */
const isLegLoaded = (check) =>
  liveSets(check).some(
    ({ loaded }) => loaded !== null && loaded.across !== "x-y" && Object.keys(loaded.volts).length > 0,
  );

/**
 * Name the open contacts of a four-wire outlet that nothing read so far would have shown.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function contactsNotShown(check, rulebook) {
  if (rulebook.familyOf(check.outlet).id !== SPLIT_PHASE) return [];
  const neutral = isNeutralShown(check, rulebook) ? [] : ["open-neutral"];
  return isGroundShown(check, rulebook) ? neutral : [...neutral, "open-ground"];
}

/** @param {Check} check @param {Rules} rulebook */
function isNeutralShown(check, rulebook) {
  return isLegLoaded(check) || isDrained(check, ["x-n", "y-n"]) || lampsExclude("open-neutral", check, rulebook);
}

/** @param {Check} check @param {Rules} rulebook */
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
 * @param {Rules} rulebook
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
 * @param {Explanations} found
 * @param {Rules} rulebook
 */
export function evidenceFindings(check, found, rulebook) {
  return [
    ...liveWithBreakerOff(check, rulebook),
    ...groundIsHot(check, rulebook),
    ...neutralLifted(check, rulebook),
    ...voltsNotMeasured(check),
    ...unshownFindings(check, rulebook),
    ...aboutFirst(check, found, rulebook),
    ...againstFirst(check, found, rulebook),
    ...aboutDevice(check, found, rulebook),
  ];
}

/** @param {Check} check */
const offSets = (check) => check.sets.filter(({ state }) => state === "breaker-off");

/** @param {Check} check @param {Rules} rulebook */
function liveWithBreakerOff(check, rulebook) {
  return offSets(check).flatMap((one) => live(one, check, rulebook));
}

/** @param {ReadingSet} one @param {Check} check @param {Rules} rulebook */
function live({ lamps, volts, meter }, check, rulebook) {
  const name = "live-with-breaker-off";
  const { value: least, source } = rulebook.limits["off-volts"];
  const isLow = meter.input === LOW_IMPEDANCE;
  const lit = Object.keys(lamps).filter((pair) => lamps[pair] === "lit");
  const found = lit.map((quantity) => finding(name, "stop", PRACTICE, { quantity }));
  for (const quantity of Object.keys(volts)) {
    const value = volts[quantity];
    if (!(value > least)) continue;
    const border = isLow ? least : mostOfAGhost(quantity, check, rulebook);
    if (value >= border) {
      found.push(finding(name, "stop", isLow ? source : OWN_CHOICE, { quantity, value, limit: border }));
    } else if (!isDrainedOff(quantity, check)) {
      found.push(finding("off-volts-not-settled", "note", OWN_CHOICE, { quantity, value, limit: least }));
    }
  }
  return found;
}

/**
 * Tell whether a high-impedance meter read something with the breaker off that may be a ghost.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export const isOffUnsettled = (check, rulebook) =>
  liveWithBreakerOff(check, rulebook).some(({ id }) => id === "off-volts-not-settled");

/** @param {string} pair @param {Check} check @param {Rules} rulebook */
function mostOfAGhost(pair, check, rulebook) {
  const running = liveSets(check).filter(({ volts }) => has(volts, pair));
  if (running.length === 0) return rulebook.limit("contacts-apart");
  return rulebook.limit("running-share") * Math.max(...running.map(({ volts }) => volts[pair]));
}

/** @param {string} pair @param {Check} check */
const isDrainedOff = (pair, check) =>
  offSets(check).some(({ meter, volts }) => meter.input === LOW_IMPEDANCE && has(volts, pair));

/** @param {Check} check @param {Rules} rulebook */
function groundIsHot(check, rulebook) {
  const apart = rulebook.limit("contacts-apart");
  const { value: times, source } = rulebook.limits["ground-hot-times"];
  for (const one of liveSets(check)) {
    for (const hot of HOTS) {
      const [toNeutral, toGround] = [`${hot}-n`, `${hot}-g`];
      if (!closes([toNeutral, toGround, NEUTRAL_TO_GROUND], one, rulebook)) continue;
      const limit = times * one.volts[toNeutral];
      const value = one.volts[toGround];
      const isApart = one.volts[toNeutral] >= apart && one.volts[NEUTRAL_TO_GROUND] >= apart;
      if (isApart && value >= limit)
        return [finding("ground-is-hot", "stop", source, { quantity: toGround, value, limit })];
    }
  }
  return [];
}

/** @param {Check} check @param {Rules} rulebook */
function neutralLifted(check, rulebook) {
  const read = tellingOfNeutral(check, rulebook).map(({ volts }) => volts[NEUTRAL_TO_GROUND]);
  if (read.length === 0) return [];
  const value = Math.max(...read);
  const names = ["neutral-lifted-test", "neutral-lifted-limit", "neutral-lifted-note"];
  const name = names.find((each) => value >= rulebook.limit(each));
  if (name === undefined) return [];
  const { value: limit, source } = rulebook.limits[name];
  const level = name === names[2] ? "note" : "limit";
  return [finding("neutral-lifted", level, source, { quantity: NEUTRAL_TO_GROUND, value, limit })];
}

/**
 * Give the sets that tell how far the neutral stands off the ground: where ghosts were drained, those.
 * @param {Check} check
 * @param {Rules} rulebook
 */
function tellingOfNeutral(check, rulebook) {
  const right = liveSets(check).filter((one) => isHotSideRight(one, rulebook));
  const drained = right.filter(({ meter }) => meter.input === LOW_IMPEDANCE);
  if (drained.length > 0) return drained;
  if (check.supply === "utility") return right;
  if (isDrained(check, [NEUTRAL_TO_GROUND])) return [];
  return right.filter((one) => !mayFloat(one, check, rulebook));
}

/**
 * Tell whether a neutral's volts to ground may be ghosts of a source that is joined to no ground.
 * @param {ReadingSet} one
 * @param {Check} check
 * @param {Rules} rulebook
 */
function mayFloat({ volts, meter }, check, rulebook) {
  if (rulebook.familyOf(check.outlet).id === SPLIT_PHASE) return true;
  const hot = volts["h-n"];
  const neutral = volts[NEUTRAL_TO_GROUND];
  /** @param {number} value */
  const error = (value) => (value * meter.accuracyPercent) / 100 + meter.accuracyVolts;
  const least = rulebook.limit("ghost-least-share") * (hot - error(hot));
  return neutral + error(neutral) >= least;
}

/** @param {ReadingSet} one @param {Rules} rulebook */
function isHotSideRight(one, rulebook) {
  const apart = rulebook.limit("contacts-apart");
  const times = rulebook.limit("ground-hot-times");
  const { volts } = one;
  return HOTS.some(
    (hot) =>
      closes([`${hot}-n`, `${hot}-g`, NEUTRAL_TO_GROUND], one, rulebook) &&
      volts[`${hot}-n`] >= apart &&
      volts[`${hot}-g`] >= apart &&
      volts[`${hot}-g`] < times * volts[`${hot}-n`],
  );
}

/** @param {Check} check */
function voltsNotMeasured(check) {
  const sets = liveSets(check);
  const hasLamps = sets.some(({ lamps }) => Object.keys(lamps).length > 0);
  const hasLevel = sets.some(({ volts }) => ["h-n", "x-n", "y-n"].some((pair) => has(volts, pair)));
  return hasLamps && !hasLevel ? [finding("volts-not-measured", "limit", OWN_CHOICE)] : [];
}

/** @param {Check} check @param {Rules} rulebook */
function unshownFindings(check, rulebook) {
  const hasVolts = liveSets(check).some(({ volts }) => Object.keys(volts).length > 0);
  const isOpen = hasVolts && contactsNotShown(check, rulebook).length > 0;
  return isOpen ? [finding("neutral-and-ground-not-shown", "limit", OWN_CHOICE)] : [];
}

/** @param {Check} check @param {Explanations} found @param {Rules} rulebook */
function aboutFirst(check, { first, unnamed }, rulebook) {
  const found = [];
  if (first === FLOATING && check.supply !== "utility") {
    if (!has(check.continuity, "g-frame")) found.push(finding("ground-not-shown", "limit", OWN_CHOICE));
    const isGhost = !isDrained(check, [NEUTRAL_TO_GROUND]);
    if (isGhost && liveSets(check).some(areLampsUnlike)) found.push(finding("lamps-unlike", "limit", EVEN_LAMPS));
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

/** @param {ReadingSet} one */
const areLampsUnlike = ({ lamps }) => [lamps["h-g"], lamps[NEUTRAL_TO_GROUND]].sort().join() === "dark,lit";

/** @param {Check} check @param {Explanations} found @param {Rules} rulebook */
function againstFirst(check, { probabilities, first }, rulebook) {
  const probability = new Map(probabilities).get(first) ?? 0;
  if (!(probability > rulebook.limit("against-mostly"))) return [];
  const own = rulebook.familyOf(check.outlet).wirings.filter(({ id }) => id === first);
  return own.flatMap(({ continuity }) =>
    Object.keys(check.continuity)
      .filter((pair) =>
        continuity.every((variant) => variant[check.where][/** @type {Link} */ (pair)] !== check.continuity[pair]),
      )
      .map((quantity) => finding("continuity-disagrees", "limit", OWN_CHOICE, { quantity })),
  );
}

/** @param {Check} check @param {Explanations} found @param {Rules} rulebook */
function aboutDevice(check, { probabilities, first }, rulebook) {
  if (!BEHIND_DEVICE.includes(check.outlet) || check.supply !== "utility" || probabilities.length === 0) return [];
  const found = [];
  if (check.hasNoButton) found.push(finding("no-device-found", "note", NO_DEVICE));
  else if (check.trip.length === 0) found.push(finding("device-not-tried", "note", NO_DEVICE));
  const least = rulebook.limit("tester-milliamps");
  const isDriven = check.trip.some(
    ({ by, tripped, milliamps }) => by === "external" && tripped === false && milliamps !== null && milliamps >= least,
  );
  if (isDriven && first === CORRECT) found.push(finding("no-device-tripped", "limit", NO_DEVICE));
  return found;
}
