// Which test to make next. Twin of fieldlog/engine/next_test.py, where the reasons stand.

import { contactsNotShown, isOffUnsettled } from "./evidence.js";
import { isUsable } from "./explanations.js";
import { has } from "./intake.js";
import { liveSets } from "./sets.js";

/** @import { Check, ReadingSet } from "./check.js" */
/** @import { Explanations } from "./explanations.js" */
/** @import { Family, Rules, Test } from "./rulebook.js" */
/** @import { NextTest } from "../../../schemas/shapes/assessed.d.ts" */
/** @typedef {[number, [string, string]]} Term what telling two explanations apart gains */

const DRAINING = "low-impedance";

/**
 * Propose the next test, or null when none gains enough.
 * @param {Check} check
 * @param {Explanations} found
 * @param {Rules} rulebook
 * @returns {NextTest|null}
 */
export function nextTest(check, found, rulebook) {
  if (isOffUnsettled(check, rulebook)) return { id: DRAINING, separates: [] };
  const family = rulebook.familyOf(check.outlet);
  const shares = sharesOf(check, found, family, rulebook);
  /** @type {Test|null} */
  let best = null;
  let most = rulebook.limit("next-test-least-gain");
  /** @type {Term[]} */
  let telling = [];
  for (const test of family.tests) {
    if (!isOpen(test, check, family, shares, rulebook)) continue;
    const terms = termsOf(test, check, family, shares, rulebook);
    let gain = 0;
    for (const [term] of terms) gain = gain + term;
    gain = gain / test.effort;
    if (gain > most) [best, most, telling] = [test, gain, terms];
  }
  if (best === null) return null;
  const shown = telling.sort((one, two) => two[0] - one[0]).slice(0, rulebook.limit("next-test-shown"));
  return { id: best.id, separates: shown.map(([, pair]) => pair) };
}

/** @param {Check} check @param {Explanations} found @param {Family} family @param {Rules} rulebook */
function sharesOf(check, found, family, rulebook) {
  const keptAt = rulebook.limit("next-test-kept-at");
  const kept = [...found.notRuledOut, ...contactsNotShown(check, rulebook)];
  const probabilities = new Map(found.probabilities);
  /** @type {Map<number, number>} */
  const shares = new Map();
  family.wirings.forEach((wiring, place) => {
    let share = probabilities.get(wiring.id) ?? 0;
    if (kept.includes(wiring.id) && share < keptAt) share = keptAt;
    if (wiring.is_named && share > 0) shares.set(place, share);
  });
  return shares;
}

/**
 * @param {Test} test
 * @param {Check} check
 * @param {Family} family
 * @param {Map<number, number>} shares
 * @param {Rules} rulebook
 */
function termsOf(test, check, { wirings }, shares, rulebook) {
  /** @type {Term[]} */
  const terms = [];
  for (const [two, shareOfTwo] of shares) {
    for (const [one, shareOfOne] of shares) {
      const howSurely = one < two ? test.separation(one, two) : 0;
      if (!(howSurely > 0)) continue;
      const isTelling = isUsable(wirings[one], check) !== isUsable(wirings[two], check);
      const weight = isTelling ? 1 : rulebook.limit("next-test-less-telling");
      terms.push([shareOfOne * shareOfTwo * weight * howSurely, [wirings[one].id, wirings[two].id]]);
    }
  }
  return terms;
}

/**
 * @param {Test} test
 * @param {Check} check
 * @param {Family} family
 * @param {Map<number, number>} shares
 * @param {Rules} rulebook
 */
function isOpen(test, check, family, shares, rulebook) {
  if (!test.supplies.includes(check.supply) || !test.places.includes(check.where)) return false;
  if (isMade(test, check, family)) return false;
  if (test.is_harmless) return true;
  const keptAt = rulebook.limit("next-test-kept-at");
  return ![...shares].some(
    ([place, share]) => share >= keptAt && test.dangerous_under.includes(family.wirings[place].id),
  );
}

/** @param {Test} test @param {Check} check @param {Family} family */
function isMade(test, check, family) {
  const sets = liveSets(check);
  /** @param {ReadingSet} one */
  const hasAll = ({ volts }) => family.barePairs.every((pair) => has(volts, pair));
  switch (test.done_by) {
    case "volts":
      return sets.some(hasAll);
    case "volts-low-impedance":
      return sets.some((one) => one.meter.input === "low-impedance" && hasAll(one));
    case "lamps":
      return hasLamps(sets, family);
    case "unplugged":
      return sets.some(({ state }) => state === "unplugged");
    case "earth":
      return sets.some(({ volts }) => has(volts, "n-e") || has(volts, "g-e"));
    case "loaded":
      return sets.some(({ loaded }) => loaded !== null);
    case "trip.upstream":
      return check.trip.some(({ device }) => device === "upstream");
    case "near.g":
      return has(check.detector, "g");
    default:
      return has(check.continuity, test.done_by.replace("continuity.", ""));
  }
}

/**
 * A four-wire tester has the lamps it has; a three-wire one has three.
 * @param {ReadingSet[]} sets
 * @param {Family} family
 */
function hasLamps(sets, family) {
  const lit = sets.map(({ lamps }) => Object.keys(lamps).length);
  if (!lit.some((count) => count > 0)) return false;
  return family.contacts.length > 3 || lit.some((count) => count === family.lampPairs.length);
}
