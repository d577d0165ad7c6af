// From a JSON object to a check: the same problems, in the same order and words, as fieldlog/engine/intake.py.

export const LAMP_PAIRS = ["h-n", "h-g", "n-g"];
export const LAMP_STATES = ["lit", "dim", "dark"];
const FIELDS = [
  "outlet",
  "supply",
  "where",
  "breaker_amps",
  "hertz",
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
const LOADED_FIELDS = ["across", "amps", "amps_percent", "volts"];
const STATES = ["as-found", "unplugged", "breaker-off"];
const NEAR = ["h", "n", "g", "skin"];
const MOST_SETS = 20;
const USUAL_AMPS_PERCENT = 5;
const TRIP_FIELDS = ["by", "device", "tripped", "face_dead", "reset", "milliseconds", "milliamps"];
const NOT_INTO_EARTH =
  "is read with a high-impedance meter only: a low-impedance one drives current into the stake. " +
  "Read it again with the other meter, or take it out.";
const USUAL_METER = { input: "high-impedance", accuracy_percent: 1, accuracy_volts: 0.3 };

export class BadInput extends Error {
  constructor(problems) {
    super(problems.map(({ at, problem }) => `${at || "input"}: ${problem}`).join("; "));
    this.name = "BadInput";
    this.problems = problems;
  }
}

/**
 * Give the check that a JSON object stands for, with defaults filled in, or throw BadInput.
 * @param {unknown} value
 * @param {object} rulebook opened
 */
export function readCheck(value, rulebook) {
  const reader = new Reader(rulebook);
  const check = reader.check(value);
  if (reader.problems.length > 0) throw new BadInput(reader.problems);
  return check;
}

class Reader {
  problems = [];

  constructor(rulebook) {
    this.rulebook = rulebook;
    this.outlets = Object.keys(rulebook.raw.outlets);
    this.signs = rulebook.raw.signs.map(([sign]) => sign);
    this.ranges = rulebook.raw.inputs;
    this.family = rulebook.families[Object.keys(rulebook.families)[0]];
  }

  check(value) {
    if (!isObject(value)) {
      this.problem("", "must be an object with named members.");
      return null;
    }
    this.unknown(value, "", FIELDS);
    const outlet = this.choice(value, "outlet", "", this.outlets);
    if (!has(value, "outlet")) this.problem("/outlet", "is needed.");
    if (outlet !== null) this.family = this.rulebook.familyOf(outlet);
    const check = {
      outlet,
      supply: this.choice(value, "supply", "", ["utility", "generator", "inverter"]) ?? "utility",
      where: this.choice(value, "where", "", ["pedestal", "rig"]) ?? "pedestal",
      breakerAmps: this.number(value, "breaker_amps", "", "breaker_amps"),
      hertz: this.number(value, "hertz", "", "hertz"),
      sets: [this.readingSet(value, "", "as-found"), ...this.more(value)],
      continuity: this.chosen(value, "continuity", "", ["n-g", "g-frame"], ["open", "closed"]),
      near: this.near(value),
      trip: this.items(value, "trip").map((test, place) => this.oneTrip(test, `/trip/${place}`)),
      look: this.look(value),
    };
    const isBare = ["volts", "lamps", "trip"].every((name) => !has(value, name) || isEmpty(value[name]));
    if (isBare && !has(value, "look"))
      this.problem("", "Nothing was read or seen: give volts, lamps, a look or a trip test.");
    return check;
  }

  problem(at, problem) {
    this.problems.push({ at, problem });
  }

  unknown(value, at, known) {
    for (const name of Object.keys(value).sort()) {
      if (known.includes(name)) continue;
      this.problem(`${at}/${escaped(name)}`, "is not a field here; take it out.");
    }
  }

  choice(value, name, at, allowed) {
    if (!has(value, name)) return null;
    if (typeof value[name] === "string" && allowed.includes(value[name])) return value[name];
    this.problem(`${at}/${name}`, `must be one of ${allowed.join(", ")}.`);
    return null;
  }

  number(value, name, at, rangeId) {
    if (!has(value, name)) return null;
    const found = value[name];
    const limits = this.ranges[rangeId];
    const isInside = typeof found === "number" && limits.low <= found && found <= limits.high;
    if (isInside && !(has(limits, "above") && found <= limits.above)) return found;
    const start = has(limits, "above") ? `above ${limits.above}` : `from ${limits.low}`;
    this.problem(`${at}/${name}`, `must be a number ${start} to ${limits.high} ${limits.unit}.`);
    return null;
  }

  boolean(value, name, at) {
    if (!has(value, name)) return null;
    if (typeof value[name] === "boolean") return value[name];
    this.problem(`${at}/${name}`, "must be true or false.");
    return null;
  }

  members(value, name, at, known) {
    if (!has(value, name)) return {};
    if (!isObject(value[name])) {
      this.problem(`${at}/${name}`, "must be an object with named members.");
      return {};
    }
    this.unknown(value[name], `${at}/${name}`, known);
    return value[name];
  }

  items(value, name) {
    if (!has(value, name)) return [];
    if (Array.isArray(value[name])) return value[name];
    this.problem(`/${name}`, "must be a list.");
    return [];
  }

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

  more(value) {
    const found = this.items(value, "more");
    if (found.length > MOST_SETS) {
      this.problem("/more", `must be at most ${MOST_SETS} sets; judge the rest as another check.`);
      return [];
    }
    return found.map((one, place) => this.furtherSet(one, `/more/${place}`));
  }

  furtherSet(value, at) {
    if (!isObject(value)) {
      this.problem(at, "must be an object with named members.");
      return null;
    }
    this.unknown(value, at, SET_FIELDS);
    return this.readingSet(value, at, this.choice(value, "state", at, STATES) ?? "as-found");
  }

  meter(value, under) {
    const found = this.members(value, "meter", under, Object.keys(USUAL_METER));
    const at = `${under}/meter`;
    return {
      input: this.choice(found, "input", at, ["high-impedance", "low-impedance"]) ?? USUAL_METER.input,
      accuracyPercent: this.number(found, "accuracy_percent", at, "accuracy_percent") ?? USUAL_METER.accuracy_percent,
      accuracyVolts: this.number(found, "accuracy_volts", at, "accuracy_volts") ?? USUAL_METER.accuracy_volts,
    };
  }

  volts(value, under, meter) {
    const found = this.members(value, "volts", under, this.family.pairs);
    const read = {};
    for (const pair of this.family.pairs) {
      const volts = this.number(found, pair, `${under}/volts`, "volts");
      if (volts === null) continue;
      read[pair] = volts;
      if (pair.endsWith("-e") && meter.input === "low-impedance")
        this.problem(`${under}/volts/${pair}`, NOT_INTO_EARTH);
    }
    return read;
  }

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
    };
  }

  chosen(value, name, at, known, allowed) {
    return this.each(value, name, at, known, (found, one) => this.choice(found, one, `${at}/${name}`, allowed));
  }

  near(value) {
    const known = [...new Set([...this.family.contacts, ...NEAR])];
    return this.each(value, "near", "", known, (found, name) => this.boolean(found, name, "/near"));
  }

  each(value, name, at, known, read) {
    const found = this.members(value, name, at, known);
    const kept = {};
    for (const member of known) {
      if (!has(found, member)) continue;
      const one = read(found, member);
      if (one !== null) kept[member] = one;
    }
    return kept;
  }

  look(value) {
    if (!has(value, "look")) return null;
    const seen = [];
    this.items(value, "look").forEach((sign, place) => {
      if (typeof sign === "string" && this.signs.includes(sign)) seen.push(sign);
      else this.problem(`/look/${place}`, `must be one of ${this.signs.join(", ")}.`);
    });
    return seen;
  }

  oneTrip(value, at) {
    if (!isObject(value)) {
      this.problem(at, "must be an object with named members.");
      return {};
    }
    this.unknown(value, at, TRIP_FIELDS);
    if (!has(value, "by")) this.problem(`${at}/by`, "is needed.");
    return {
      by: this.choice(value, "by", at, ["button", "external"]),
      device: this.choice(value, "device", at, ["this", "upstream"]) ?? "this",
      tripped: this.boolean(value, "tripped", at),
      faceDead: this.boolean(value, "face_dead", at),
      reset: this.boolean(value, "reset", at),
      milliseconds: this.number(value, "milliseconds", at, "milliseconds"),
      milliamps: this.number(value, "milliamps", at, "milliamps"),
    };
  }
}

export function has(value, name) {
  return Object.hasOwn(value, name);
}

function isObject(value) {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

function isEmpty(value) {
  return value !== null && typeof value === "object" && Object.keys(value).length === 0;
}

function escaped(name) {
  return name.replaceAll("~", "~0").replaceAll("/", "~1");
}
