// From what a person entered for an added test to the members of a check that it fills.
import { doneTests } from "./added.js";
import { AGAIN, againSets } from "./again.js";
import { measuredEntry, textAt } from "./entries.js";
import { lampsOf } from "./lamps.js";
import { earthPairsOf, hasTwoLegs, loadedPairsOf, pairsOf } from "./pairs.js";

/** @import { Meter } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "./entries.js" */

/** @param {Values} values @param {string} name @returns {boolean} */
export const typed = (values, name) => values[`${name}.skipped`] !== "yes" && Boolean(textAt(values, name).trim());

/** @param {[string, any][]} entries @returns {Record<string, any>|null} */
export const filled = (entries) => (entries.length ? Object.fromEntries(entries) : null);

/**
 * @param {Values} values
 * @param {string[]} pairs
 * @param {string} [set] what the names of the fields begin with
 * @returns {Record<string, string>|null}
 */
export function voltsIn(values, pairs, set = "") {
  const named = pairs.map((pair) => ({ pair, name: `${set}volts.${pair}` }));
  return filled(
    named
      .filter(({ name }) => typed(values, name))
      .map(({ pair, name }) => [pair, measuredEntry(name, textAt(values, name))]),
  );
}

/**
 * @param {Values} values
 * @param {string} [set] a set that was read with another meter, which is as exact unless something else was typed
 * @returns {Required<Omit<Meter, "rms">>}
 */
export function meterOf(values, set = "") {
  /** @param {string} name @param {string} usual */
  const accuracy = (name, usual) =>
    measuredEntry(`meter.${name}`, (set && textAt(values, `${set}${name}`)) || values[`meter.${name}`] || usual);
  return {
    input: /** @type {Required<Meter>["input"]} */ (values["meter.input"] || "high-impedance"),
    accuracy_percent: accuracy("accuracy_percent", "1.0"),
    accuracy_volts: accuracy("accuracy_volts", "0.3"),
  };
}

/**
 * What a meter shows of a wave that is no sine is asked, and told, on an inverter only.
 * @param {Values} values
 * @returns {Pick<Meter, "rms">|null}
 */
export function rmsOf({ supply, ...values }) {
  const rms = supply === "inverter" ? values["meter.rms"] : "";
  return rms === "true" || rms === "average" ? { rms } : null;
}

/**
 * Gives the sets that were read with another meter, in another state, or under a second load.
 * @param {Values} values
 * @param {{input: string}} meter the check's own
 * @returns {Record<string, any>[]}
 */
export function furtherSets(values, meter) {
  const { outlet } = values;
  /** @type {Record<string, () => Record<string, any>|(Record<string, any>|null)[]|null>} */
  const makers = {
    "low-impedance": () =>
      setOf({ meter: otherMeter(values, "low-impedance"), volts: voltsIn(values, pairsOf(outlet), "low-impedance.") }),
    earth: () =>
      meter.input === "low-impedance"
        ? setOf({ meter: otherMeter(values, "earth"), volts: voltsIn(values, earthPairsOf(outlet)) })
        : null,
    "unplug-others": () => unplugged(values, meter),
    "upstream-hold": () => (has(values, "load") ? setOf({ meter, loaded: loadedIn(values, "upstream.") }) : null),
    [AGAIN]: () => againSets(values).map((set) => setOf({ meter, volts: voltsIn(values, pairsOf(outlet), set) })),
  };
  return Object.entries(makers)
    .filter(([test]) => has(values, test))
    .flatMap(([, make]) => make() ?? [])
    .filter((set) => set !== null);
}

/**
 * @param {Values} values
 * @param {{input: string}} meter
 * @returns {Record<string, string>|null} volts to an earth, where the check's own meter may read them
 */
export function earthOf(values, meter) {
  return has(values, "earth") && meter.input !== "low-impedance" ? voltsIn(values, earthPairsOf(values.outlet)) : null;
}

/** @param {Values} values @returns {Record<string, any>|null} */
export function loadedOf(values) {
  if (has(values, "load")) return loadedIn(values, "");
  return has(values, "upstream-hold") ? loadedIn(values, "upstream.") : null;
}

/** @param {Values} values @returns {Record<string, boolean>|null} */
export function detectorOf(values) {
  const heard = values["near.g"];
  return has(values, "detector") && ["yes", "no"].includes(heard ?? "") ? { g: heard === "yes" } : null;
}

/** @param {Values} values @returns {Record<string, string>|null} */
export function continuityOf(values) {
  const tests = { "neutral-continuity": "n-g", "rig-bond": "n-g", "frame-continuity": "g-frame" };
  const read = Object.entries(tests)
    .filter(([test]) => has(values, test))
    .map(([, pair]) => ({ pair, state: textAt(values, `continuity.${pair}`) }));
  return filled(read.filter(({ state }) => ["open", "closed"].includes(state)).map(({ pair, state }) => [pair, state]));
}

/**
 * A device that trips again under the load has not held, so it counts as not reset.
 * @param {Values} values
 * @returns {Record<string, any>|null}
 */
export function pressedUpstream(values) {
  const tripped = values["upstream.tripped"];
  if (!has(values, "upstream-hold") || !["yes", "no"].includes(tripped ?? "")) return null;
  const reset = values["upstream.held"] === "no" ? "no" : values["upstream.reset"];
  const isKnown = tripped === "yes" && ["yes", "no"].includes(reset ?? "");
  return { by: "button", device: "upstream", tripped: tripped === "yes", ...(isKnown && { reset: reset === "yes" }) };
}

/** @param {Values} values @param {string} test */
const has = (values, test) => doneTests(values).includes(test);

/**
 * Where the test for the earth is done with another meter, that meter has a high impedance.
 * @param {Values} values
 * @param {string} test
 */
const otherMeter = (values, test) => ({
  ...meterOf(values, `${test}.`),
  input: test === "earth" ? "high-impedance" : test,
});

/**
 * A set without a reading is none.
 * @param {{meter: object, volts?: object|null, lamps?: object|null, loaded?: object|null}} read
 * @returns {Record<string, any>|null}
 */
function setOf(read, state = "as-found") {
  /** @type {Record<string, any>} */
  const given = Object.fromEntries(Object.entries(read).filter(([, value]) => value));
  if (!given.volts) delete given.meter;
  if (read.loaded) given.meter = read.meter;
  return given.volts || given.lamps || given.loaded ? { state, ...given } : null;
}

/** @param {Values} values @param {{input: string}} meter */
function unplugged(values, meter) {
  const volts = values["unplugged.by"] === "lamps" ? null : voltsIn(values, pairsOf(values.outlet), "unplugged.");
  const lamps = values["unplugged.by"] === "meter" ? null : lampsOf(values, "unplugged.");
  return setOf({ meter, volts, lamps }, "unplugged");
}

/** @param {Values} values */
const hasHeld = (values) => ["tripped", "reset", "held"].every((name) => values[`upstream.${name}`] === "yes");

/** @param {Values} values @param {string} set */
function loadedIn(values, set) {
  if (set === "upstream." && !hasHeld(values)) return null;
  const at = `${set}loaded.`;
  const volts = voltsIn(values, loadedPairsOf(values.outlet), at);
  if (!volts || !typed(values, `${at}amps`)) return null;
  return {
    ...(hasTwoLegs(values.outlet) && { across: textAt(values, `${at}across`) }),
    amps: measuredEntry(`${at}amps`, textAt(values, `${at}amps`)),
    ...(typed(values, `${at}amps_percent`) && {
      amps_percent: measuredEntry(`${at}amps_percent`, textAt(values, `${at}amps_percent`)),
    }),
    volts,
    ...afterIn(values, at),
  };
}

/**
 * Gives the pairs that were read once more with the load off again.
 * @param {Values} values
 * @param {string} at what the names of the load's fields begin with
 */
function afterIn(values, at) {
  const read = loadedPairsOf(values.outlet).filter((pair) => typed(values, `${at}after.${pair}`));
  const after = read.map((pair) => [pair, measuredEntry(`${at}after.${pair}`, textAt(values, `${at}after.${pair}`))]);
  return after.length ? { after: Object.fromEntries(after) } : null;
}
