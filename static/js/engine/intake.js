// From a JSON object to a check: the same problems, in the same order and words, as fieldlog/engine/intake.py.

export const PAIRS = ["h-n", "h-g", "n-g", "h-e", "n-e", "g-e"];
export const LAMP_PAIRS = ["h-n", "h-g", "n-g"];
export const LAMP_STATES = ["lit", "dim", "dark"];
export const SIGNS = [
  "burned", "wet", "warm", "buzzing", "tingle", "breaker-will-not-hold", "cracked", "loose", "cover-missing",
];
const FIELDS = [
  "outlet", "supply", "where", "breaker_amps", "hertz", "meter", "volts", "lamps", "continuity", "near", "trip", "look",
];
const LATER = ["/loaded", "/more", "/continuity/n-g"];
const EARTH_PAIRS = ["h-e", "n-e", "g-e"];
const NEAR = ["h", "n", "g", "skin"];
const TRIP_FIELDS = ["by", "device", "tripped", "face_dead", "reset", "milliseconds", "milliamps"];
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
  const reader = new Reader(rulebook.raw);
  const check = reader.check(value);
  if (reader.problems.length > 0) throw new BadInput(reader.problems);
  return check;
}

class Reader {
  problems = [];

  constructor(raw) {
    this.outlets = Object.keys(raw.outlets);
    this.ranges = raw.inputs;
  }

  check(value) {
    if (!isObject(value)) {
      this.problem("", "must be an object with named members.");
      return null;
    }
    this.unknown(value, "", FIELDS);
    const outlet = this.choice(value, "outlet", "", this.outlets);
    if (!has(value, "outlet")) this.problem("/outlet", "is needed.");
    const check = {
      outlet,
      supply: this.choice(value, "supply", "", ["utility", "generator", "inverter"]) ?? "utility",
      where: this.choice(value, "where", "", ["pedestal", "rig"]) ?? "pedestal",
      breakerAmps: this.number(value, "breaker_amps", "", "breaker_amps"),
      hertz: this.number(value, "hertz", "", "hertz"),
      meter: this.meter(value),
      volts: this.each(value, "volts", PAIRS, (found, pair) => this.number(found, pair, "/volts", "volts")),
      lamps: this.each(value, "lamps", LAMP_PAIRS, (found, pair) => this.choice(found, pair, "/lamps", LAMP_STATES)),
      isGroundOnFrame: this.continuity(value),
      near: this.each(value, "near", NEAR, (found, name) => this.boolean(found, name, "/near")),
      trip: this.items(value, "trip").map((test, place) => this.oneTrip(test, `/trip/${place}`)),
      look: this.look(value),
    };
    const isBare = ["volts", "lamps", "trip"].every((name) => !has(value, name) || isEmpty(value[name]));
    if (isBare && !has(value, "look")) this.problem("", "Nothing was read or seen: give volts, lamps, a look or a trip test.");
    if (check.meter.input === "low-impedance") this.earth(check.volts);
    return check;
  }

  problem(at, problem) {
    this.problems.push({ at, problem });
  }

  earth(volts) {
    for (const pair of EARTH_PAIRS) {
      if (!has(volts, pair)) continue;
      this.problem(
        `/volts/${pair}`,
        "is read with a high-impedance meter only: a low-impedance one drives current into the stake. " +
          "Read it again with the other meter, or take it out.",
      );
    }
  }

  unknown(value, at, known) {
    for (const name of Object.keys(value).sort()) {
      if (known.includes(name)) continue;
      const where = `${at}/${escaped(name)}`;
      const isLater = LATER.includes(where);
      this.problem(where, isLater ? "is not judged yet; take it out and judge the rest." : "is not a field here; take it out.");
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

  members(value, name, known) {
    if (!has(value, name)) return {};
    if (!isObject(value[name])) {
      this.problem(`/${name}`, "must be an object with named members.");
      return {};
    }
    this.unknown(value[name], `/${name}`, known);
    return value[name];
  }

  items(value, name) {
    if (!has(value, name)) return [];
    if (Array.isArray(value[name])) return value[name];
    this.problem(`/${name}`, "must be a list.");
    return [];
  }

  each(value, name, known, read) {
    const found = this.members(value, name, known);
    const kept = {};
    for (const member of known) {
      if (!has(found, member)) continue;
      const one = read(found, member);
      if (one !== null) kept[member] = one;
    }
    return kept;
  }

  meter(value) {
    const found = this.members(value, "meter", Object.keys(USUAL_METER));
    return {
      input: this.choice(found, "input", "/meter", ["high-impedance", "low-impedance"]) ?? USUAL_METER.input,
      accuracyPercent:
        this.number(found, "accuracy_percent", "/meter", "accuracy_percent") ?? USUAL_METER.accuracy_percent,
      accuracyVolts: this.number(found, "accuracy_volts", "/meter", "accuracy_volts") ?? USUAL_METER.accuracy_volts,
    };
  }

  continuity(value) {
    const found = this.members(value, "continuity", ["g-frame"]);
    const state = this.choice(found, "g-frame", "/continuity", ["open", "closed"]);
    return state === null ? null : state === "closed";
  }

  look(value) {
    if (!has(value, "look")) return null;
    const seen = [];
    this.items(value, "look").forEach((sign, place) => {
      if (typeof sign === "string" && SIGNS.includes(sign)) seen.push(sign);
      else this.problem(`/look/${place}`, `must be one of ${SIGNS.join(", ")}.`);
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
  return Object.prototype.hasOwnProperty.call(value, name);
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
