// What a load tells of the supply. Twin of fieldlog/engine/supply.py, where the reasons stand.

import { has } from "./intake.js";
import { leastTellingDrop, measuredDrop } from "./likelihood.js";
import { finding, OWN_CHOICE, PRACTICE } from "./limits.js";
import { hasHeldUpstream } from "./reading-sets.js";
import { liveSets, withoutLoad } from "./sets.js";

/** @import { Check, LoadTestSet } from "./check.js" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Finding, Level, Supply } from "../../../schemas/shapes/assessed.d.ts" */

const BOTH_HOTS = "x-y";

/**
 * Give what the first load of a check shows of the supply, or null.
 * @param {Check} check
 * @param {Rules} rulebook
 * @returns {Supply|null}
 */
export function supplyOf(check, rulebook) {
  for (const each of liveSets(check)) {
    const drop = measuredDrop(each);
    const one = /** @type {LoadTestSet} */ (each); // where a drop was measured
    if (drop !== null && one.loaded.amps >= rulebook.limit("load-least")) return supplyFrom(one, drop);
  }
  return null;
}

/** @param {LoadTestSet} one @param {number} drop @returns {Supply} */
function supplyFrom(one, drop) {
  const { loaded, meter } = one;
  const { amps, across } = loaded;
  const ohms = drop / amps;
  const size = drop >= 0 ? drop : -drop;
  const byAmps = ((ohms >= 0 ? ohms : -ohms) * loaded.ampsPercent) / 100;
  const share = meter.accuracyPercent / 100;
  const digits = 2 * meter.accuracyVolts + movedVolts(one) / 2;
  const both = drop + loaded.volts[across] + loaded.volts[across];
  const neutralOhms = neutralOhmsOf(one);
  return {
    across,
    volts: /** @type {number} */ (withoutLoad(one, across)), // a drop was measured on it
    ohms,
    ohms_uncertainty: (digits + share * size) / amps + byAmps,
    ohms_bound: (digits + share * both) / amps + byAmps,
    hot_ohms: neutralOhms === null ? null : ohms - neutralOhms,
    neutral_ohms: neutralOhms,
  };
}

/** How far the loaded pair's readings without the load lie apart [V]. @param {LoadTestSet} one */
function movedVolts({ volts, loaded }) {
  const { across, after } = loaded;
  if (!has(volts, across) || !has(after, across)) return 0;
  const apart = volts[across] - after[across];
  return apart >= 0 ? apart : -apart;
}

/** @param {LoadTestSet} one */
function neutralOhmsOf(one) {
  const { loaded } = one;
  const bare = withoutLoad(one, "n-g");
  if (loaded.across === BOTH_HOTS || bare === null || !has(loaded.volts, "n-g")) return null;
  return (loaded.volts["n-g"] - bare) / loaded.amps;
}

/**
 * Judge the loop's drop at 80 % of the outlet's rating, a joint's heat, and what a load left open.
 * @param {Check} check
 * @param {Supply|null} supply
 * @param {Rules} rulebook
 */
export function supplyFindings(check, supply, rulebook) {
  /** @type {Finding[]} */
  const found = [];
  if (supply !== null) {
    const amps = rulebook.limit("full-load-share") * rulebook.raw.outlets[check.outlet].rating_amps;
    const isOwnSource = check.supply !== "utility";
    found.push(...loopFindings(supply, amps, isOwnSource, rulebook));
    found.push(...jointFindings(supply, amps, isOwnSource, rulebook));
  }
  found.push(...openFindings(check, supply, rulebook));
  if (hasHeldUpstream(check, rulebook)) found.push(finding("upstream-held", "note", PRACTICE));
  return found;
}

/** @param {Supply} supply @param {number} amps @param {boolean} isOwnSource @param {Rules} rulebook */
function loopFindings(supply, amps, isOwnSource, { limits }) {
  const value = supply.ohms * amps;
  const uncertainty = supply.ohms_uncertainty * amps;
  const { value: limit, source } = limits["loop-drop-limit"];
  const stop = limits["loop-drop-stop"].value;
  const isOfNeutral = supply.neutral_ohms !== null && supply.neutral_ohms * amps >= stop;
  if (isOwnSource && value >= limit && !(value >= stop && isOfNeutral)) {
    return [finding("source-sags", "limit", source, { quantity: "loop-drop", value, uncertainty, limit })];
  }
  /** @param {Level} level */
  const said = (level) => {
    const border = limits[`loop-drop-${level}`];
    return [
      finding("loop-drop", level, border.source, { quantity: "loop-drop", value, uncertainty, limit: border.value }),
    ];
  };
  if (value >= stop) return said("stop");
  if (value >= limit) return said("limit");
  return value > limits["loop-drop-note"].value ? said("note") : [];
}

/** @param {Supply} supply @param {number} amps @param {boolean} isOwnSource @param {Rules} rulebook */
function jointFindings(supply, amps, isOwnSource, rulebook) {
  const least = rulebook.limit("joint-least-ohms");
  const share = rulebook.limit("joint-least-share");
  const found = [];
  /** @type {[string, number|null][]} */
  const joints = [
    ["loose-joint-hot", isOwnSource ? null : supply.hot_ohms],
    ["loose-joint-neutral", supply.neutral_ohms],
  ];
  for (const [name, ohms] of joints) {
    // Where neighbours on the other leg let the neutral fall under load, the parts tell nothing.
    if (supply.neutral_ohms === null || !(supply.neutral_ohms >= 0)) continue;
    if (ohms === null || !(ohms >= least) || !(ohms >= share * supply.ohms)) continue;
    found.push(finding(name, "limit", OWN_CHOICE, { quantity: "joint-heat", value: ohms * amps * amps }));
  }
  return found;
}

/** @param {Check} check @param {Supply|null} supply @param {Rules} rulebook */
function openFindings(check, supply, rulebook) {
  const sets = liveSets(check);
  const loads = sets.filter(/** @returns {one is LoadTestSet} */ (one) => one.loaded !== null);
  const isRead = sets.some((one) => [one.volts, one.lamps].some((read) => Object.keys(read).length > 0));
  const found = [];
  if (loads.length === 0 && isRead) found.push(finding("not-loaded", "note", PRACTICE));
  if (loads.length > 0 && supply === null) found.push(finding("load-not-compared", "note", OWN_CHOICE));
  for (const one of loads) {
    const drop = measuredDrop(one);
    const limit = leastTellingDrop(one.meter, rulebook.kernel);
    const { value: border, source } = rulebook.limits["supply-moved"];
    const rose = drop === null ? 0 : -drop;
    const moved = Math.max(rose, movedVolts(one));
    if (moved >= border) {
      found.push(finding("supply-moved", "note", source, { quantity: "drop", value: moved, limit: border }));
      continue;
    }
    if (drop === null || !(drop < limit) || !showsNeutral(one)) continue;
    found.push(finding("too-stiff-to-tell", "note", OWN_CHOICE, { quantity: "drop", value: drop, limit }));
  }
  return found;
}

/** @param {LoadTestSet} one */
const showsNeutral = (one) =>
  one.loaded.across !== BOTH_HOTS && withoutLoad(one, "n-g") !== null && has(one.loaded.volts, "n-g");
