// What readings to an earth are worth. Twin of fieldlog/engine/earth.py, where the reasons stand.

import { has, readCheck } from "./intake.js";
import { finding, OWN_CHOICE } from "./limits.js";
import { openRulebook } from "./rulebook.js";
import { liveSets } from "./sets.js";

/** @import { Check, ReadingSet, Volts } from "./check.js" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Level } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

const HOTS = ["h", "x", "y"];
const BOTH_HOTS = "x-y";
const GROUND_TO_EARTH = "g-e";
const LOW_IMPEDANCE = "low-impedance";

/**
 * Whether a pair is a contact and an earth outside the outlet.
 * @param {string} pair
 */
export const isToEarth = (pair) => pair.endsWith("-e");

/**
 * Whether a set's own readings show that its earth carries what it must.
 * @param {ReadingSet} one
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function isEarthProved(one, check, rulebook) {
  if (check.supply !== "utility") return false;
  const read = allRead(one);
  const full = fullVolts(read);
  const apart = rulebook.limit("contacts-apart");
  if (!(full >= apart)) return false;
  const share = rulebook.limit("earth-proved-share");
  if (Object.keys(read).some((pair) => isToEarth(pair) && read[pair] >= share * full)) return true;
  return HOTS.some((hot) => liesBetween(hot, read, share, apart));
}

/**
 * Whether what one high-impedance meter read so far proves the earth that it was read to. Throws BadInput.
 * @param {{outlet: string, supply: string, volts: Volts}} check
 * @param {Rulebook} raw as fetched
 */
export function provesEarth(check, raw) {
  const rulebook = openRulebook(raw);
  const read = readCheck(check, rulebook);
  return isEarthProved(read.sets[0], read, rulebook);
}

/**
 * A set's readings; what was read to an earth under load alone stands beside them.
 * @param {ReadingSet} one
 */
function allRead(one) {
  const read = { ...one.volts };
  const loaded = one.loaded?.volts ?? {};
  for (const pair of Object.keys(loaded)) if (isToEarth(pair) && !has(read, pair)) read[pair] = loaded[pair];
  return read;
}

/** @param {Volts} read */
function fullVolts(read) {
  let full = 0;
  for (const pair of Object.keys(read)) {
    const own = pair === BOTH_HOTS ? read[pair] / 2 : read[pair];
    if (!isToEarth(pair) && own > full) full = own;
  }
  return full;
}

/** @param {string} hot @param {Volts} read @param {number} share @param {number} apart */
function liesBetween(hot, read, share, apart) {
  const toEarth = `${hot}-e`;
  const toGround = `${hot}-g`;
  if ([toEarth, toGround, GROUND_TO_EARTH].some((pair) => !has(read, pair))) return false;
  const ground = read[toGround];
  return ground >= apart && read[toEarth] + read[GROUND_TO_EARTH] >= share * ground;
}

/**
 * Leave out what was read to an earth and says nothing: clean readings to one that was not proved.
 * @param {Check} check
 * @param {Rules} rulebook
 * @returns {Check}
 */
export function counting(check, rulebook) {
  return { ...check, sets: check.sets.map((one) => ({ ...one, volts: countingVolts(one, check, rulebook) })) };
}

/** @param {ReadingSet} one @param {Check} check @param {Rules} rulebook */
function countingVolts(one, check, rulebook) {
  if (!Object.keys(one.volts).some(isToEarth)) return one.volts;
  const clean = rulebook.limit("earth-clean-below");
  const isProved = isEarthProved(one, check, rulebook);
  const isBelieved = check.supply === "utility";
  /** @type {Volts} */
  const kept = {};
  for (const pair of Object.keys(one.volts)) {
    if (!isToEarth(pair) || isProved || (isBelieved && one.volts[pair] >= clean)) kept[pair] = one.volts[pair];
  }
  return kept;
}

/**
 * Whether a proved earth reads the outlet's ground clean.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function isGroundClean(check, rulebook) {
  const limit = rulebook.limit("ground-lifted-limit");
  return liveSets(check).some((one) => {
    const read = allRead(one);
    return isEarthProved(one, check, rulebook) && has(read, GROUND_TO_EARTH) && read[GROUND_TO_EARTH] < limit;
  });
}

/**
 * Give what the readings to an earth say of that earth, and of the outlet's ground.
 * @param {Check} check
 * @param {Rules} rulebook
 */
export function earthFindings(check, rulebook) {
  return [...aboutEarth(check, rulebook), ...groundLifted(check, rulebook)];
}

/** @param {Check} check @param {Rules} rulebook */
function aboutEarth(check, rulebook) {
  const clean = rulebook.limit("earth-clean-below");
  const { contacts } = rulebook.familyOf(check.outlet);
  for (const one of liveSets(check)) {
    const read = allRead(one);
    const pairs = Object.keys(read).filter(isToEarth);
    if (isEarthProved(one, check, rulebook) || !pairs.some((pair) => read[pair] < clean)) continue;
    const hasAll = contacts.every((contact) => has(read, `${contact}-e`));
    const isDead = hasAll && pairs.every((pair) => read[pair] < clean);
    return [finding(isDead ? "earth-dead" : "earth-not-proved", "note", OWN_CHOICE)];
  }
  return [];
}

/** @param {Check} check @param {Rules} rulebook */
function groundLifted(check, { limits }) {
  const live = liveSets(check);
  const mayFloat = check.supply !== "utility";
  const drained = live.filter((one) => one.meter.input === LOW_IMPEDANCE && has(allRead(one), GROUND_TO_EARTH));
  const most = mostOf(mayFloat ? drained : live);
  /** @param {Level} level @param {number} value @param {string} border */
  const said = (level, value, border) => {
    const { source, value: limit } = limits[`ground-lifted-${border}`];
    return [finding("ground-lifted", level, source, { quantity: GROUND_TO_EARTH, value, limit })];
  };
  if (most !== null) {
    if (most >= limits["ground-lifted-stop"].value) return said("stop", most, "stop");
    return most >= limits["ground-lifted-limit"].value ? said("limit", most, "limit") : [];
  }
  const ghost = mayFloat ? mostOf(live) : null;
  return ghost !== null && ghost >= limits["ground-lifted-stop"].value ? said("note", ghost, "stop") : [];
}

/** @param {ReadingSet[]} sets @returns {number|null} */
function mostOf(sets) {
  /** @type {number|null} */
  let most = null;
  for (const { volts, loaded } of sets) {
    for (const read of [volts, loaded?.volts ?? {}]) {
      if (has(read, GROUND_TO_EARTH) && (most === null || read[GROUND_TO_EARTH] > most)) most = read[GROUND_TO_EARTH];
    }
  }
  return most;
}
