// From a JSON object to a check: the same problems, in the same order and words, as fieldlog/engine/intake.py.

import { LAMP_STATES } from "./check.js";

/** @import { Check, LoadTest, Meter, ReadingSet, Source, State, Trip, Volts } from "./check.js" */
/** @import { OutletType } from "../../../schemas/shapes/record.d.ts" */
/** @import { Rules } from "./rulebook.js" */
/** @import { Problem } from "../../../schemas/shapes/api.d.ts" */
/** @typedef {Record<string, unknown>} Members of a JSON object */

const FIELDS = [
  "outlet",
  "supply",
  "where",
  "breaker_amps",
  "hertz",
  "via",
  "meter",
  "volts",
  "lamps",
  "loaded",
  "more",
  "continuity",
  "near",
  "trip",
  "look",
];
const SET_FIELDS = ["state", "meter", "volts", "lamps", "loaded"];
const LOADED_FIELDS = ["across", "amps", "amps_percent", "volts", "after"];
/** @type {State[]} */
const STATES = ["as-found", "unplugged", "breaker-off"];
const DETECTOR_PLACES = ["h", "n", "g", "skin"];
const MOST_SETS = 20;
const MOST_ADAPTERS = 4;
const METER_FIELDS = ["input", "accuracy_percent", "accuracy_volts", "rms"];
const NO_CHAIN = "must lead on from the adapter before it, and the last one to the outlet that was read.";
const USUAL_AMPS_PERCENT = 5;
const TRIP_FIELDS = ["by", "device", "tripped", "face_dead", "reset", "milliseconds", "milliamps"];
const NOT_INTO_EARTH =
  "is read with a high-impedance meter only: a low-impedance one drives current into the stake. " +
  "Read it again with the other meter, or take it out.";
/** @type {{input: Meter["input"], accuracy_percent: number, accuracy_volts: number, rms: Meter["rms"]}} */
const USUAL_METER = { input: "high-impedance", accuracy_percent: 1, accuracy_volts: 0.3, rms: "true" };

export class BadInput extends Error {
  /** @param {Problem[]} problems */
  constructor(problems) {
    super(problems.map(({ at, problem }) => `${at || "input"}: ${problem}`).join("; "));
    this.name = "BadInput";
    this.problems = problems;
  }
}

/**
 * Give the check that a JSON object stands for, with defaults filled in, or throw BadInput.
 * @param {unknown} value
 * @param {Rules} rulebook
 * @returns {Check}
 */
export function readCheck(value, rulebook) {
  const reader = new Reader(rulebook);
  const check = reader.check(value);
  if (reader.problems.length > 0) throw new BadInput(reader.problems);
  return /** @type {Check} */ (check); // without one there is a problem
}

class Reader {
  /** @type {Problem[]} */
  problems = [];

  /** @param {Rules} rulebook */
  constructor(rulebook) {
    this.rulebook = rulebook;
    this.outlets = /** @type {OutletType[]} */ (Object.keys(rulebook.raw.outlets));
    this.signs = rulebook.raw.signs.map(([sign]) => sign);
    this.ranges = rulebook.raw.inputs;
    this.family = Object.values(rulebook.families)[0];
    /** @type {Source|null} */
    this.supply = null;
  }

  /** @param {unknown} value @returns {Check|null} null where a problem says why */
  check(value) {
    if (!isObject(value)) {
      this.problem("", "must be an object with named members.");
      return null;
    }
    this.unknown(value, "", FIELDS);
    const outlet = this.choice(value, "outlet", "", this.outlets);
    if (!has(value, "outlet")) this.problem("/outlet", "is needed.");
    if (outlet !== null) this.family = this.rulebook.familyOf(outlet);
    this.supply = this.choice(value, "supply", "", ["utility", "generator", "inverter"]);
    const check = {
      outlet: /** @type {OutletType} */ (outlet), // without one there is a problem
      supply: this.supply ?? "utility",
      where: this.choice(value, "where", "", ["pedestal", "rig"]) ?? "pedestal",
      breakerAmps: this.number(value, "breaker_amps", "", "breaker_amps"),
      hertz: this.number(value, "hertz", "", "hertz"),
      via: this.via(value, outlet),
      sets: [this.readingSet(value, "", "as-found"), ...this.more(value)],
      continuity: this.chosen(value, "continuity", "", ["n-g", "g-frame"], ["open", "closed"]),
      detector: this.detector(value),
      trip: this.items(value, "trip").flatMap((test, place) => this.oneTrip(test, `/trip/${place}`)),
      hasNoButton: has(value, "trip") && Array.isArray(value.trip) && value.trip.length === 0,
      look: this.look(value),
    };
    const isBare = ["volts", "lamps", "trip"].every((name) => !has(value, name) || isEmpty(value[name]));
    if (isBare && !has(value, "look"))
      this.problem("", "Nothing was read or seen: give volts, lamps, a look or a trip test.");
    return check;
  }

  /** @param {string} at @param {string} problem */
  problem(at, problem) {
    this.problems.push({ at, problem });
  }

  /** @param {Members} value @param {string} at @param {string[]} known */
  unknown(value, at, known) {
    for (const name of Object.keys(value).sort()) {
      if (known.includes(name)) continue;
      this.problem(`${at}/${escaped(name)}`, "is not a field here; take it out.");
    }
  }

  /**
   * @template {string} Choice
   * @param {Members} value
   * @param {string} name
   * @param {string} at
   * @param {readonly Choice[]} allowed
   * @returns {Choice|null}
   */
  choice(value, name, at, allowed) {
    if (!has(value, name)) return null;
    const chosen = allowed.find((one) => one === value[name]);
    if (chosen !== undefined) return chosen;
    this.problem(`${at}/${name}`, `must be one of ${allowed.join(", ")}.`);
    return null;
  }

  /** @param {Members} value @param {string} name @param {string} at @param {string} rangeId @returns {number|null} */
  number(value, name, at, rangeId) {
    if (!has(value, name)) return null;
    const found = value[name];
    const { low, high, above, unit } = this.ranges[rangeId];
    const isInside = typeof found === "number" && low <= found && found <= high;
    if (isInside && !(above !== undefined && found <= above)) return found;
    const start = above === undefined ? `from ${low}` : `above ${above}`;
    this.problem(`${at}/${name}`, `must be a number ${start} to ${high} ${unit}.`);
    return null;
  }

  /** @param {Members} value @param {string} name @param {string} at @returns {boolean|null} */
  boolean(value, name, at) {
    if (!has(value, name)) return null;
    const found = value[name];
    if (typeof found === "boolean") return found;
    this.problem(`${at}/${name}`, "must be true or false.");
    return null;
  }

  /** @param {Members} value @param {string} name @param {string} at @param {string[]} known @returns {Members} */
  members(value, name, at, known) {
    if (!has(value, name)) return {};
    const found = value[name];
    if (!isObject(found)) {
      this.problem(`${at}/${name}`, "must be an object with named members.");
      return {};
    }
    this.unknown(found, `${at}/${name}`, known);
    return found;
  }

  /** @param {Members} value @param {string} name @returns {unknown[]} */
  items(value, name) {
    if (!has(value, name)) return [];
    const found = value[name];
    if (Array.isArray(found)) return found;
    this.problem(`/${name}`, "must be a list.");
    return [];
  }

  /** @param {Members} value @param {string} at @param {State} state @returns {ReadingSet} */
  readingSet(value, at, state) {
    const meter = this.meter(value, at);
    return {
      state,
      meter,
      volts: this.volts(value, at, meter),
      lamps: this.chosen(value, "lamps", at, this.family.lampPairs, LAMP_STATES),
      loaded: this.loaded(value, at, meter),
    };
  }

  /** @param {Members} value @returns {ReadingSet[]} */
  more(value) {
    const found = this.items(value, "more");
    if (found.length > MOST_SETS) {
      this.problem("/more", `must be at most ${MOST_SETS} sets; judge the rest as another check.`);
      return [];
    }
    return found.flatMap((one, place) => this.furtherSet(one, `/more/${place}`));
  }

  /** @param {unknown} value @param {string} at @returns {ReadingSet[]} none where a problem says why */
  furtherSet(value, at) {
    if (!isObject(value)) {
      this.problem(at, "must be an object with named members.");
      return [];
    }
    this.unknown(value, at, SET_FIELDS);
    return [this.readingSet(value, at, this.choice(value, "state", at, STATES) ?? "as-found")];
  }

  /** @param {Members} value @param {string} under @returns {Meter} */
  meter(value, under) {
    const found = this.members(value, "meter", under, METER_FIELDS);
    const at = `${under}/meter`;
    return {
      input: this.choice(found, "input", at, ["high-impedance", "low-impedance"]) ?? USUAL_METER.input,
      accuracyPercent: this.number(found, "accuracy_percent", at, "accuracy_percent") ?? USUAL_METER.accuracy_percent,
      accuracyVolts: this.number(found, "accuracy_volts", at, "accuracy_volts") ?? USUAL_METER.accuracy_volts,
      rms: this.choice(found, "rms", at, ["true", "average"]) ?? USUAL_METER.rms,
    };
  }

  /** @param {Members} value @param {OutletType|null} outlet @returns {string[]} */
  via(value, outlet) {
    const known = this.outlets.flatMap((one) =>
      this.outlets.filter((other) => other !== one).map((other) => `${one}-to-${other}`),
    );
    /** @type {string[]} */
    const found = [];
    this.items(value, "via").forEach((adapter, place) => {
      if (typeof adapter === "string" && known.includes(adapter)) found.push(adapter);
      else this.problem(`/via/${place}`, `must be one of ${known.join(", ")}.`);
    });
    if (found.length > MOST_ADAPTERS) this.problem("/via", `must be at most ${MOST_ADAPTERS} adapters.`);
    const starts = [...found.slice(1).map((one) => one.split("-to-")[0]), outlet];
    found.forEach((one, place) => {
      const onward = starts[place];
      if (one.split("-to-")[1] !== onward && onward !== null) this.problem(`/via/${place}`, NO_CHAIN);
    });
    return found;
  }

  /**
   * @param {Members} value
   * @param {string} under
   * @param {Meter} meter
   * @param {string} [name]
   * @returns {Volts}
   */
  volts(value, under, meter, name = "volts") {
    const found = this.members(value, name, under, this.family.pairs);
    /** @type {Volts} */
    const read = {};
    for (const pair of this.family.pairs) {
      const volts = this.number(found, pair, `${under}/${name}`, "volts");
      if (volts === null) continue;
      read[pair] = volts;
      if (pair.endsWith("-e") && meter.input === "low-impedance" && !this.mayDrain(pair))
        this.problem(`${under}/${name}/${pair}`, NOT_INTO_EARTH);
    }
    return read;
  }

  /** Whether a low-impedance meter may read it: ground to earth where the source may float. @param {string} pair */
  mayDrain(pair) {
    return pair === "g-e" && (this.supply === "generator" || this.supply === "inverter");
  }

  /** @param {Members} value @param {string} under @param {Meter} meter @returns {LoadTest|null} */
  loaded(value, under, meter) {
    if (!has(value, "loaded")) return null;
    const found = this.members(value, "loaded", under, LOADED_FIELDS);
    const at = `${under}/loaded`;
    const across = this.choice(found, "across", at, this.family.acrosses);
    if (this.family.acrosses.length > 1 && !has(found, "across")) {
      this.problem(`${at}/across`, "is needed: say which two contacts the load hangs across.");
    }
    const amps = this.number(found, "amps", at, "amps");
    if (!has(found, "amps")) this.problem(`${at}/amps`, "is needed.");
    return {
      across: across ?? this.family.acrosses[0],
      amps: amps ?? 1,
      ampsPercent: this.number(found, "amps_percent", at, "accuracy_percent") ?? USUAL_AMPS_PERCENT,
      volts: this.volts(found, at, meter),
      after: this.volts(found, at, meter, "after"),
    };
  }

  /**
   * @template {string} Choice
   * @param {Members} value
   * @param {string} name
   * @param {string} at
   * @param {string[]} known
   * @param {readonly Choice[]} allowed
   * @returns {Record<string, Choice>}
   */
  chosen(value, name, at, known, allowed) {
    return this.each(value, name, at, known, (found, one) => this.choice(found, one, `${at}/${name}`, allowed));
  }

  /** @param {Members} value @returns {Record<string, boolean>} */
  detector(value) {
    const known = [...new Set([...this.family.contacts, ...DETECTOR_PLACES])];
    return this.each(value, "near", "", known, (found, name) => this.boolean(found, name, "/near"));
  }

  /**
   * @template Kept
   * @param {Members} value
   * @param {string} name
   * @param {string} at
   * @param {string[]} known
   * @param {(found: Members, member: string) => Kept|null} read
   * @returns {Record<string, Kept>}
   */
  each(value, name, at, known, read) {
    const found = this.members(value, name, at, known);
    /** @type {Record<string, Kept>} */
    const kept = {};
    for (const member of known) {
      if (!has(found, member)) continue;
      const one = read(found, member);
      if (one !== null) kept[member] = one;
    }
    return kept;
  }

  /** @param {Members} value @returns {string[]|null} */
  look(value) {
    if (!has(value, "look")) return null;
    /** @type {string[]} */
    const seen = [];
    this.items(value, "look").forEach((sign, place) => {
      if (typeof sign === "string" && this.signs.includes(sign)) seen.push(sign);
      else this.problem(`/look/${place}`, `must be one of ${this.signs.join(", ")}.`);
    });
    return seen;
  }

  /** @param {unknown} value @param {string} at @returns {Trip[]} none where a problem says why */
  oneTrip(value, at) {
    if (!isObject(value)) {
      this.problem(at, "must be an object with named members.");
      return [];
    }
    this.unknown(value, at, TRIP_FIELDS);
    if (!has(value, "by")) this.problem(`${at}/by`, "is needed.");
    return [
      {
        // Without one there is a problem.
        by: /** @type {Trip["by"]} */ (this.choice(value, "by", at, ["button", "external"])),
        device: this.choice(value, "device", at, ["this", "upstream"]) ?? "this",
        tripped: this.boolean(value, "tripped", at),
        faceDead: this.boolean(value, "face_dead", at),
        reset: this.boolean(value, "reset", at),
        milliseconds: this.number(value, "milliseconds", at, "milliseconds"),
        milliamps: this.number(value, "milliamps", at, "milliamps"),
      },
    ];
  }
}

/** @param {object} value @param {PropertyKey} name @returns {boolean} */
export function has(value, name) {
  return Object.hasOwn(value, name);
}

/** @param {unknown} value @returns {value is Members} */
function isObject(value) {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

/** @param {unknown} value */
function isEmpty(value) {
  return value !== null && typeof value === "object" && Object.keys(value).length === 0;
}

/** @param {string} name */
function escaped(name) {
  return name.replaceAll("~", "~0").replaceAll("/", "~1");
}
