// What a load tells of the supply. Twin of fieldlog/engine/supply.py, where the reasons stand.

import { has } from "./intake.js";
import { leastTellingDrop, measuredDrop } from "./likelihood.js";
import { finding, OWN_CHOICE, PRACTICE } from "./limits.js";
import { hasHeldUpstream } from "./reading-sets.js";
import { liveSets, loadedSets } from "./sets.js";

/** @import { Check, Loaded, LoadedSet, Volts } from "./check.js" */
/** @import { Opened } from "./rulebook.js" */
/** @import { Finding, Level, Supply } from "../../../schemas/shapes/assessed.d.ts" */

const BOTH_HOTS = "x-y";

/**
 * Give what the first load of a check shows of the supply, or null.
 * @param {Check} check
 * @param {Opened} rulebook
 * @returns {Supply|null}
 */
export function supplyOf(check, rulebook) {
  for (const one of loadedSets(check)) {
    const drop = measuredDrop(one);
    if (drop !== null && one.loaded.amps >= rulebook.limit("load-least")) return supplyFrom(one, drop);
  }
  return null;
}

/** @param {LoadedSet} one @param {number} drop @returns {Supply} */
function supplyFrom({ volts, loaded, meter }, drop) {
  const { amps, across } = loaded;
  const ohms = drop / amps;
  const size = drop >= 0 ? drop : -drop;
  const byAmps = ((ohms >= 0 ? ohms : -ohms) * loaded.ampsPercent) / 100;
  const share = meter.accuracyPercent / 100;
  const digits = 2 * meter.accuracyVolts;
  const both = volts[across] + loaded.volts[across];
  const neutralOhms = neutralOhmsOf(volts, loaded);
  return {
    across,
    volts: volts[across],
    ohms,
    ohms_uncertainty: (digits + share * size) / amps + byAmps,
    ohms_bound: (digits + share * both) / amps + byAmps,
    hot_ohms: neutralOhms === null ? null : ohms - neutralOhms,
    neutral_ohms: neutralOhms,
  };
}

/** @param {Volts} volts @param {Loaded} loaded */
function neutralOhmsOf(volts, loaded) {
  if (loaded.across === BOTH_HOTS || !has(volts, "n-g") || !has(loaded.volts, "n-g")) return null;
  return (loaded.volts["n-g"] - volts["n-g"]) / loaded.amps;
}

/**
 * Judge the loop's drop at 80 % of the outlet's rating, a joint's heat, and what a load left open.
 * @param {Check} check
 * @param {Supply|null} supply
 * @param {Opened} rulebook
 */
export function supplyFindings(check, supply, rulebook) {
  /** @type {Finding[]} */
  const found = [];
  if (supply !== null) {
    const amps = rulebook.limit("full-load-share") * rulebook.raw.outlets[check.outlet].rating_amps;
    found.push(...loopFindings(supply, amps, rulebook), ...jointFindings(supply, amps, rulebook));
  }
  found.push(...openFindings(check, supply, rulebook));
  if (hasHeldUpstream(check, rulebook)) found.push(finding("upstream-held", "note", PRACTICE));
  return found;
}

/** @param {Supply} supply @param {number} amps @param {Opened} rulebook */
function loopFindings(supply, amps, { limits }) {
  const value = supply.ohms * amps;
  const uncertainty = supply.ohms_uncertainty * amps;
  /** @param {Level} level */
  const said = (level) => {
    const border = limits[`loop-drop-${level}`];
    return [
      finding("loop-drop", level, border.source, { quantity: "loop-drop", value, uncertainty, limit: border.value }),
    ];
  };
  if (value >= limits["loop-drop-stop"].value) return said("stop");
  if (value >= limits["loop-drop-limit"].value) return said("limit");
  return value > limits["loop-drop-note"].value ? said("note") : [];
}

/** @param {Supply} supply @param {number} amps @param {Opened} rulebook */
function jointFindings(supply, amps, rulebook) {
  const least = rulebook.limit("joint-least-ohms");
  const share = rulebook.limit("joint-least-share");
  const found = [];
  /** @type {[string, number|null][]} */
  const joints = [
    ["loose-joint-hot", supply.hot_ohms],
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

/** @param {Check} check @param {Supply|null} supply @param {Opened} rulebook */
function openFindings(check, supply, rulebook) {
  const sets = liveSets(check);
  const loads = loadedSets(check);
  const isRead = sets.some((one) => [one.volts, one.lamps].some((read) => Object.keys(read).length > 0));
  const found = [];
  if (loads.length === 0 && isRead) found.push(finding("not-loaded", "note", PRACTICE));
  if (loads.length > 0 && supply === null) found.push(finding("load-not-compared", "note", OWN_CHOICE));
  for (const one of loads) {
    const drop = measuredDrop(one);
    const limit = leastTellingDrop(one.meter, rulebook.kernel);
    if (drop === null || !(drop < limit) || !showsNeutral(one)) continue;
    found.push(finding("too-stiff-to-tell", "note", OWN_CHOICE, { quantity: "drop", value: drop, limit }));
  }
  return found;
}

/** @param {LoadedSet} one */
const showsNeutral = ({ volts, loaded }) =>
  loaded.across !== BOTH_HOTS && has(volts, "n-g") && has(loaded.volts, "n-g");
