// Which test to make next. Twin of fieldlog/engine/next_test.py, where the reasons stand.

import { isUsable } from "./explanations.js";
import { has, LAMP_PAIRS } from "./intake.js";

const LEAST_GAIN = 0.0005;
const KEPT_AT = 0.01;
const LESS_TELLING = 0.2;
const SHOWN_PAIRS = 5;

/** Propose the next test, or null when none gains enough. */
export function nextTest(check, found, rulebook) {
  const shares = sharesOf(found, rulebook);
  const usable = new Map(rulebook.wirings.map((wiring) => [wiring.id, isUsable(wiring, check)]));
  let best = null;
  for (const test of rulebook.tests) {
    if (isMade(test, check) || isDangerous(test, shares)) continue;
    const terms = termsOf(test, shares, usable);
    let gain = 0;
    for (const [term] of terms) gain = gain + term;
    gain = gain / test.effort;
    if (gain > LEAST_GAIN && (best === null || gain > best.gain)) {
      const telling = terms.sort((one, two) => two[0] - one[0]).slice(0, SHOWN_PAIRS);
      best = { gain, test: { id: test.id, separates: telling.map(([, pair]) => pair) } };
    }
  }
  return best === null ? null : best.test;
}

function sharesOf(found, rulebook) {
  const probabilities = new Map(found.probabilities);
  const shares = new Map();
  for (const wiring of rulebook.wirings) {
    let share = probabilities.get(wiring.id) ?? 0;
    if (found.notRuledOut.includes(wiring.id) && share < KEPT_AT) share = KEPT_AT;
    if (wiring.is_named && share > 0) shares.set(wiring.id, share);
  }
  return shares;
}

function termsOf(test, shares, usable) {
  const terms = [];
  for (const [one, two, howSurely] of test.terms) {
    if (!shares.has(one) || !shares.has(two)) continue;
    const weight = usable.get(one) !== usable.get(two) ? 1 : LESS_TELLING;
    terms.push([shares.get(one) * shares.get(two) * weight * howSurely, [one, two]]);
  }
  return terms;
}

function isDangerous(test, shares) {
  if (test.is_harmless) return false;
  return test.dangerous_under.some((name) => (shares.get(name) ?? 0) >= KEPT_AT);
}

function isMade(test, check) {
  const hasThree = LAMP_PAIRS.every((pair) => has(check.volts, pair));
  switch (test.done_by) {
    case "volts":
      return hasThree;
    case "volts-low-impedance":
      return hasThree && check.meter.input === "low-impedance";
    case "lamps":
      return LAMP_PAIRS.every((pair) => has(check.lamps, pair));
    case "earth":
      return has(check.volts, "n-e") || has(check.volts, "g-e");
    case "near.g":
      return has(check.near, "g");
    case "continuity.g-frame":
      return check.isGroundOnFrame !== null;
    default:
      return false;
  }
}
