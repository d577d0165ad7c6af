// Names what a pointer into a record of some kind leads to, in the words of the pages.
import { CONTINUITIES, NEAR, PAIRS } from "../lib/words.js";
import { stepsOf } from "./pointers.js";

/**
 * @typedef {string|((step: string) => string)} Words
 * @typedef {object} Member
 * @property {Words} is what it is called where a pointer ends
 * @property {Words} [leads] what is said of it before the name of what lies in it
 * @property {Record<string, Member|Words>} of what lies in it; "#" stands for a number, "*" for a name that its owner made up
 */

const counted = (word, from) => (step) => `${word} ${Number(step) + from}`;
const quoted = (word) => (step) => `${word} “${step}”`;
/** @param {string} is @returns {Member} */
const list = (is) => ({ is, of: { "#": counted(`${is},`, 1) } });
/** @param {string} is @param {Words} each @param {Record<string, Member|Words>} of @param {"#"|"*"} by @returns {Member} */
const listOf = (is, each, of, by = "#") => ({ is, of: { [by]: { is: each, leads: each, of } } });

const MEMBERS = {
  id: "its own number",
  kind: "kind of record",
  rig: "number of the rig",
  subject: "number of what it is about",
  observed_at: "date and time",
  made_by: "made by",
  instrument: "number of the instrument",
  corrects: "number of the record that it corrects",
  reason: "reason",
  also_corrects: list("number of the other correction"),
};

const METER = {
  input: "kind of meter",
  accuracy_percent: "meter’s accuracy, percent",
  accuracy_volts: "meter’s accuracy, volts",
};
const VOLTS = { is: "volts", of: { "*": (pair) => `volts ${PAIRS[pair] ?? pair}` } };
const LOADED = {
  across: "the load hangs across",
  amps: "amps of the load",
  amps_percent: "how exactly the amps are known, percent",
  volts: VOLTS,
};
/** @type {Record<string, Member|Words>} */
const READ = {
  meter: { is: "meter", of: METER },
  volts: VOLTS,
  lamps: { is: "lamps", of: { "*": (pair) => `lamp ${PAIRS[pair] ?? pair}` } },
  loaded: { is: "under load", leads: "under load", of: LOADED },
};
const PRESSED = {
  tripped: "it tripped",
  face_dead: "its face was dead",
  reset: "RESET brought it back",
  milliseconds: "milliseconds to trip",
  milliamps: "milliamps at the trip",
};
const PRESS = { by: "how it was tripped", device: "which device tripped", ...PRESSED };
/** @type {Member} */
const CHECK = {
  is: "readings",
  of: {
    outlet: "outlet",
    supply: "fed by",
    where: "where it was read",
    breaker_amps: "number on the breaker’s handle",
    hertz: "frequency",
    ...READ,
    more: listOf("further sets", counted("set", 2), { state: "how the outlet was", ...READ }),
    continuity: { is: "continuity", of: { "*": (where) => `continuity, ${CONTINUITIES[where] ?? where}` } },
    near: { is: "non-contact detector", of: { "*": (where) => `detector at ${NEAR[where] ?? where}` } },
    trip: listOf("TEST and RESET", counted("press", 1), PRESS),
    look: list("what was seen"),
  },
};
const RULEBOOK = "rulebook when it was made";
/** @type {Record<string, Member|Words>} */
const CHECKED = {
  check: CHECK,
  ready: {
    is: "what was made sure of",
    of: { dry: "dry, no thunder", meter_proved: "the meter was proved", category: "category of the meter" },
  },
  not_tested: list("not tested"),
  judgement: {
    is: "judgement when it was made",
    of: { verdict: "verdict when it was made", rulebook: RULEBOOK, first: "first explanation when it was made" },
  },
};

/** @type {Record<string, Record<string, Member|Words>>} the members of a body, by kind of record */
const BODIES = {
  "arrival-check": { place: { is: "place", of: { park: "campground", site: "site" } }, ...CHECKED },
  "outlet-test": CHECKED,
  "plug-in": {
    skin: {
      is: "the rig’s skin",
      leads: "the rig’s skin",
      of: { by: "how it was tried", volts: "volts to earth", detected: "the detector told voltage" },
    },
    inside: "volts inside the rig",
    tingle: "a tingle",
    not_tested: list("not tested"),
    judgement: { is: "judgement when it was made", of: { level: "level when it was made", rulebook: RULEBOOK } },
  },
  "trip-test": {
    by: "how it was tripped",
    ...PRESSED,
    dead: list("outlets that went dead"),
    live: list("outlets that stayed live"),
    not_tested: list("not tested"),
    mode: "mode of the rig",
  },
  rig: {
    name: "name",
    outlet: "its own plug fits",
    note: "note",
    assured_months: "months from one showing of the ground to the next",
    season_starts: "season starts",
  },
  outlet: { name: "name", outlet: "outlet", guard: "number of what guards it", note: "note" },
  device: {
    name: "name",
    type: "kind of device",
    installed: "installed, year and month",
    made: "made, year and month",
    note: "note",
  },
  instrument: {
    type: "kind of instrument",
    name: "name",
    ...METER,
    category: "category of the meter",
    lamps: listOf("lamps", counted("lamp", 1), { called: "what it is called", pair: "contacts it sits between" }),
  },
  photo: {
    hash: "hash of the photo",
    bytes: "size of the photo in bytes",
    type: "kind of picture",
    width: "width in pixels",
    height: "height in pixels",
    what: "what the photo shows",
  },
  // The server’s sentences number the parts and runs of a map from 0.
  "rig-map": {
    parts: listOf("parts", counted("part", 0), {
      id: "its id on the map",
      kind: "kind of part",
      name: "name",
      amps: "rating in amps",
      gfci: "it trips on a ground fault",
      outlet_type: "outlet",
      outlet: "number of its outlet",
      device: "number of its device",
      where: list("where it is"),
      bonded: "neutral and ground joined",
      note: "note",
    }),
    runs: listOf("runs", counted("run", 0), {
      from: "from",
      to: "to",
      from_side: "side that it leaves from",
      awg: "gauge",
      feet: "feet",
    }),
    modes: listOf("modes", quoted("mode"), { without: list("runs left out") }, "*"),
  },
  change: {
    what: "what was changed",
    why: "why",
    parts: list("parts that were changed"),
    map: "number of the map",
    wire: "wire",
    device: "device put in",
  },
  proof: {
    step: "step",
    part: "part",
    pair: "contacts",
    outcome: "outcome",
    value: "value",
    unit: "unit",
    record: "number of the record that shows it",
    note: "note",
  },
  look: {
    of: "looked at",
    points: { is: "points looked at", of: { "*": quoted("point") } },
    not_tested: list("not looked at"),
    note: "note",
  },
  round: {
    started_at: "begun",
    steps: listOf("steps", counted("step", 1), {
      what: "kind of step",
      subject: "number of what it is about",
      of: "looked at",
      record: "number of the record that shows it",
      skipped: "it was skipped",
      why: "why it was skipped",
    }),
  },
};

/**
 * Names what a pointer leads to.
 * @param {string} pointer
 * @param {string} [kind] of the record
 * @returns {string} such as "Set 2, under load, volts hot–neutral"
 */
export function labelOf(pointer, kind) {
  const body = { is: "what it says", of: (Object.hasOwn(BODIES, kind ?? "") && BODIES[kind]) || {} };
  const words = named({ is: "the record", of: { ...MEMBERS, body } }, "", stepsOf(pointer)).join(", ");
  return words[0].toUpperCase() + words.slice(1);
}

/** @param {Member|Words} member @param {string} step that led to it @param {string[]} further @returns {string[]} */
function named(member, step, [next, ...further]) {
  const { is, leads = "", of } = typeof member === "object" ? member : { is: member, of: {} };
  if (next === undefined) return [said(is, step)];
  const names = [next, /^\d+$/.test(next) ? "#" : "", "*"];
  const known = names.find((name) => Object.hasOwn(of, name));
  const rest =
    known === undefined ? [[next, ...further].join(", ").replaceAll("_", " ")] : named(of[known], next, further);
  return leads ? [said(leads, step), ...rest] : rest;
}

const said = (words, step) => (typeof words === "function" ? words(step) : words);
