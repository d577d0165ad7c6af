// Which entries of a kept check can be corrected: where each stands, what it is called, how it is typed.
import { CONTINUITIES, DETECTOR, INPUTS, PAIRS, STATES } from "../lib/words.js";
import { measuredEntry } from "./entries.js";
import { acrossOf, hasTwoLegs, loadedPairsOf, pairsOf } from "./pairs.js";

/** @import { Check, Loaded, More, Pressed } from "../../../schemas/shapes/record.d.ts" */

/**
 * @typedef {object} Reading
 * @property {string} name of its field: its path in the check
 * @property {string} label
 * @property {string} [unit] of a measured value
 * @property {Choices} [choices] value and label; "" stands for not read
 */

/** @typedef {{title: string, readings: Reading[]}} Group */

/** @typedef {[string, string][]} Choices */
/** @typedef {Pick<More, "state"|"meter"|"volts"|"lamps"|"loaded">} FurtherSet one set */

/** @type {Choices} */
const LAMPS = [
  ["lit", "Lit"],
  ["dim", "Dim"],
  ["dark", "Dark"],
  ["", "Not looked at"],
];
/** @type {Choices} */
const YES_NO = [
  ["true", "Yes"],
  ["false", "No"],
  ["", "Not tested"],
];
/** @type {Choices} */
const OPEN_CLOSED = [
  ["closed", "Closed"],
  ["open", "Open"],
  ["", "Not tested"],
];
const PRESSED = {
  tripped: "TEST: did it trip?",
  face_dead: "Was its own face dead then?",
  reset: "Did RESET bring it back?",
};

/**
 * Lists what was read, and what the screens would have asked besides, in groups.
 * @param {Check} check as recorded
 * @returns {Group[]}
 */
export function groupsOf(check) {
  /** @type {Group[]} */
  const groups = [
    {
      title: "As found",
      readings: [
        ...meterOf(""),
        ...setOf(check, check, "", pairsOf(check.outlet)),
        ...single("hertz", "Frequency", "Hz", check),
      ],
    },
    ...loadOf(check, check, "", "Under load"),
    ...(check.more ?? []).flatMap((set, i) => furtherOf(set, check, i)),
    {
      title: "Detector",
      readings: Object.keys(check.near ?? {}).map((place) => ({
        name: `near.${place}`,
        label: `It told voltage at ${DETECTOR[place]}`,
        choices: YES_NO,
      })),
    },
    {
      title: "Continuity",
      readings: Object.keys(check.continuity ?? {}).map((pair) => ({
        name: `continuity.${pair}`,
        label: CONTINUITIES[pair] ?? pair,
        choices: OPEN_CLOSED,
      })),
    },
    ...pressesOf(check.trip ?? []).map(pressGroup),
  ];
  return groups.filter(({ readings }) => readings.length);
}

/** @param {More} set @param {Check} check @param {number} i @returns {Group[]} */
function furtherOf(set, check, i) {
  const at = `more.${i}.`;
  const title = `${STATES[set.state ?? ""]}${
    set.meter ? `, ${INPUTS[set.meter.input ?? "high-impedance"]?.toLowerCase()}` : ""
  }`;
  const readings = [
    ...(set.meter ? meterOf(at) : []),
    ...setOf(set, check, at, set.volts ? pairsOf(check.outlet) : []),
  ];
  return [{ title, readings }, ...loadOf(set, check, at, `${title}, under load`)];
}

/** @param {string} at @returns {Reading[]} */
function meterOf(at) {
  const inputs = Object.entries(INPUTS);
  return [
    { name: `${at}meter.input`, label: "Kind of meter", choices: inputs },
    { name: `${at}meter.accuracy_percent`, label: "Its accuracy: percent of the reading", unit: "%" },
    { name: `${at}meter.accuracy_volts`, label: "and volts", unit: "V" },
  ];
}

/**
 * Volts to an earth are read in a set of their own or beside the others.
 * @param {FurtherSet} set
 * @param {Check} check
 * @param {string} at
 * @param {string[]} usual
 * @returns {Reading[]}
 */
function setOf(set, check, at, usual) {
  /** @param {string[]} known @param {object} [read] */
  const pairs = (known, read) =>
    [...new Set([...known, ...Object.keys(read ?? {})])].filter((pair) => !isOfEarth(known, pair, set));
  const lamps = at && !set.lamps ? [] : hasTwoLegs(check.outlet) && !set.lamps ? [] : pairsOf(check.outlet);
  return [
    ...pairs(usual, set.volts).map((pair) => ({
      name: `${at}volts.${pair}`,
      label: `Volts ${PAIRS[pair]}`,
      unit: "V",
    })),
    ...lamps.map((pair) => ({ name: `${at}lamps.${pair}`, label: `The ${PAIRS[pair]} lamp`, choices: LAMPS })),
  ];
}

/**
 * A set that holds volts to an earth only is not asked for the other pairs.
 * @param {string[]} known
 * @param {string} pair
 * @param {FurtherSet} set
 */
function isOfEarth(known, pair, set) {
  const read = Object.keys(set.volts ?? {});
  return (
    known.includes(pair) &&
    !read.includes(pair) &&
    Boolean(set.state) &&
    read.length > 0 &&
    read.every((each) => each.endsWith("-e"))
  );
}

/** @param {FurtherSet} set @param {Check} check @param {string} at @param {string} title @returns {Group[]} */
function loadOf(set, check, at, title) {
  if (!set.loaded) return [];
  const here = `${at}loaded.`;
  const across = acrossOf(check.outlet).map((pair) => /** @type {[string, string]} */ ([pair, PAIRS[pair]]));
  const volts = [...new Set([...loadedPairsOf(check.outlet), ...Object.keys(set.loaded.volts ?? {})])];
  return [
    {
      title,
      readings: [
        ...(across.length > 1 ? [{ name: `${here}across`, label: "The load hangs across", choices: across }] : []),
        { name: `${here}amps`, label: "Amps of the load", unit: "A" },
        ...single(`${here}amps_percent`, "How well the amps are known", "%", set.loaded),
        ...volts.map((pair) => ({ name: `${here}volts.${pair}`, label: `Volts ${PAIRS[pair]} under load`, unit: "V" })),
        ...Object.keys(set.loaded.after ?? {}).map((pair) => ({
          name: `${here}after.${pair}`,
          label: `Volts ${PAIRS[pair]}, the load off again`,
          unit: "V",
        })),
      ],
    },
  ];
}

/**
 * What few check have is offered where it was entered.
 * @param {string} name
 * @param {string} label
 * @param {string} unit
 * @param {object} members
 * @returns {Reading[]}
 */
function single(name, label, unit, members) {
  return (name.split(".").at(-1) ?? "") in members ? [{ name, label, unit }] : [];
}

/**
 * Every press that was entered, and one of the outlet’s own TEST where none was.
 * @param {Pressed[]} trip
 * @returns {Pressed[]}
 */
const pressesOf = (trip) => (trip.some(isOwnPress) ? trip : [...trip, { by: "button", device: "this" }]);

/** @param {Pressed} press */
const isOwnPress = ({ by, device }) => by === "button" && (device ?? "this") === "this";

/** @param {Pressed} press @param {number} i @returns {Group} */
function pressGroup(press, i) {
  const at = `trip.${i}.`;
  const asked = Object.entries(PRESSED).filter(
    ([name]) => name !== "face_dead" || press.device !== "upstream" || name in press,
  );
  return {
    title: press.device === "upstream" ? "The device upstream" : "TEST and RESET",
    readings: [
      ...asked.map(([name, label]) => ({ name: at + name, label, choices: YES_NO })),
      ...single(`${at}milliseconds`, "Time to trip", "ms", press),
      ...single(`${at}milliamps`, "Current of the test", "mA", press),
    ],
  };
}

/**
 * Gives what a person would have typed for each reading of a check.
 * @param {Check} check
 * @returns {Record<string, string>}
 */
export function typedOf(check) {
  return Object.fromEntries(
    readingsOf(check).map((reading) => [reading.name, typedFor(reading, valueAt(check, reading.name))]),
  );
}

/** @param {Check} check @returns {Reading[]} */
const readingsOf = (check) => groupsOf(check).flatMap(({ readings }) => readings);

/** @param {Reading} reading @param {unknown} value */
function typedFor({ name, unit }, value) {
  if (value === undefined) return USUAL[name.split(".").slice(-2).join(".")] ?? "";
  return unit ? (String(value).split(" ")[0] ?? "") : String(value);
}

/** @type {Record<string, string>} */
const USUAL = { "meter.input": "high-impedance", "meter.accuracy_percent": "1.0", "meter.accuracy_volts": "0.3" };

/** @param {Check} members @param {string} name */
// whatever lies there
const valueAt = (members, name) => name.split(".").reduce((inner, step) => inner?.[step], /** @type {any} */ (members));

/**
 * Gives the check with what was typed in place of its readings; what was emptied is absent.
 * @param {Check} check
 * @param {Record<string, string>} typed
 * @returns {Check}
 */
export function correctedCheck(check, typed) {
  const made = structuredClone(check);
  const presses = pressesOf(made.trip ?? []);
  made.trip = presses;
  for (const reading of readingsOf(check))
    put(made, reading.name.split("."), meant(reading, typed[reading.name] ?? ""));
  const corrected = pruned(made);
  return check.trip?.length === 0 ? { trip: [], ...corrected } : corrected;
}

/** @param {Reading} reading @param {string} typed */
function meant({ name, unit, choices }, typed) {
  if (!typed.trim()) return undefined;
  if (unit) return measuredEntry(name, typed);
  return choices === YES_NO ? typed === "true" : typed;
}

/** @param {Record<string, any>} members @param {string[]} steps @param {unknown} value */
function put(members, [step = "", ...rest], value) {
  if (rest.length) {
    members[step] ??= {};
    put(members[step], rest, value);
  } else if (value === undefined) delete members[step];
  else members[step] = value;
}

/** A group without a reading is absent, and so is the meter that read nothing. @param {Check} check @returns {Check} */
function pruned(check) {
  for (const set of [check, ...(check.more ?? [])]) {
    if (set.loaded) dropEmpty(set.loaded, "after");
    if (set.loaded && (!set.loaded.amps || isEmpty(set.loaded.volts))) delete set.loaded;
    for (const member of ["volts", "lamps", "near", "continuity"]) dropEmpty(set, member);
    if (!set.volts && !set.loaded) delete set.meter;
  }
  const sets = (check.more ?? []).filter(({ volts, lamps, loaded }) => volts || lamps || loaded);
  const presses = (check.trip ?? []).map(asPressed).filter(({ by, device, ...read }) => Object.keys(read).length);
  const { more: _, trip: __, ...rest } = check;
  return { ...rest, ...(sets.length && { more: sets }), ...(presses.length && { trip: presses }) };
}

/** A device that did not trip tells nothing of its face or its reset. @param {Pressed} press @returns {Pressed} */
function asPressed({ face_dead, reset, ...press }) {
  if (press.tripped === false) return press;
  return { ...press, ...(face_dead !== undefined && { face_dead }), ...(reset !== undefined && { reset }) };
}

/** @param {object|undefined} members */
const isEmpty = (members) => !members || !Object.keys(members).length;

/** @param {Record<string, any>} set @param {string} member */
function dropEmpty(set, member) {
  if (isEmpty(set[member])) delete set[member];
}
