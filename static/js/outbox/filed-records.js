// Records in a file: kept only where the pages can draw them. schemas/record.schema.json says more; the server holds
// them against it.

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @typedef {(value: unknown) => boolean} Asks */
/** @typedef {Asks|ShapeOfEach|ShapeOfMembers} Shape */
/** @typedef {{[place: number]: Shape} & unknown[]} ShapeOfEach */
/** @typedef {{[member: string]: Shape}} ShapeOfMembers */

const ID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const MOMENT = /^\d{4}-(0[1-9]|1[0-2])-\d\dT\d\d:\d\d/;

/** @type {Asks} */
const id = (value) => typeof value === "string" && ID.test(value);
/** @type {(value: unknown) => value is string} */
const text = (value) => typeof value === "string";
/** @type {Asks} */
const flag = (value) => typeof value === "boolean";
/** @type {Asks} */
const moment = (value) => text(value) && MOMENT.test(value);
/** @type {Asks} */
const number = (value) => Number.isFinite(value);
/** @param {Shape} shape @returns {Asks} */
const orNull = (shape) => (value) => value === null || wrongAt(value, shape) === null;

// A function asks the value; [shape] is a list of such; { member: shape } a thing, "member?" one that may be absent,
// "*" each.
/** @type {Shape} */
const RECORD = {
  id,
  kind: text,
  rig: orNull(id),
  subject: orNull(id),
  observed_at: moment,
  made_by: text,
  instrument: orNull(id),
  body: {},
  corrects: orNull(id),
  reason: orNull(text),
  "also_corrects?": [id],
};
const METER = { "input?": text, "accuracy_percent?": text, "accuracy_volts?": text };
const LOADED = { "across?": text, amps: text, "amps_percent?": text, "volts?": { "*": text } };
const SET = { "meter?": METER, "volts?": { "*": text }, "lamps?": { "*": text }, "loaded?": LOADED };
const TRIP = {
  by: text,
  "device?": text,
  "tripped?": flag,
  "face_dead?": flag,
  "reset?": flag,
  "milliseconds?": text,
  "milliamps?": text,
};
const CHECK = {
  ...SET,
  outlet: text,
  "supply?": text,
  "where?": text,
  "breaker_amps?": text,
  "hertz?": text,
  "more?": [{ ...SET, "state?": text }],
  "continuity?": { "*": text },
  "near?": { "*": flag },
  "trip?": [TRIP],
  "look?": [text],
};
const CHECKED = {
  check: CHECK,
  ready: { dry: flag, meter_proved: flag, category: orNull(text) },
  not_tested: [text],
  judgement: { verdict: text, rulebook: text, first: orNull(text) },
};
const PART = {
  id: text,
  kind: text,
  name: text,
  "amps?": orNull(number),
  "gfci?": flag,
  "outlet_type?": orNull(text),
  "outlet?": orNull(id),
  "device?": orNull(id),
  "where?": [text],
  "bonded?": flag,
  "watts?": orNull(number),
  "continuous?": flag,
  "leg?": orNull(text),
  "shares_neutral?": orNull(text),
  "tied?": orNull(flag),
  "note?": text,
};
const RUN = {
  from: text,
  to: text,
  "from_side?": text,
  "awg?": orNull(number),
  "feet?": orNull(number),
  "cord?": orNull(text),
};
const STEP = { what: text, subject: orNull(id), of: orNull(text), record: orNull(id), skipped: flag, why: text };
const INSTRUMENT = {
  type: text,
  name: text,
  "input?": text,
  "accuracy_percent?": text,
  "accuracy_volts?": text,
  "category?": orNull(text),
  "lamps?": [{ called: text, pair: text }],
};

/**
 * The bodies by kind. A kind of a later version is kept; no list of this one draws it.
 * @type {Record<string, Shape>}
 */
const BODIES = {
  "arrival-check": { place: { park: text, site: text }, ...CHECKED },
  "outlet-test": CHECKED,
  "plug-in": {
    skin: orNull({ by: text, "volts?": text, "low_impedance?": text, "earth_proved?": flag, "detected?": flag }),
    inside: orNull(text),
    tingle: flag,
    not_tested: [text],
    judgement: { level: text, rulebook: text },
  },
  "trip-test": {
    by: text,
    tripped: orNull(flag),
    face_dead: orNull(flag),
    reset: orNull(flag),
    "milliseconds?": text,
    "milliamps?": text,
    "mode?": orNull(text),
    dead: [id],
    live: [id],
    not_tested: [text],
  },
  rig: {
    name: text,
    outlet: text,
    note: text,
    "assured_months?": orNull(number),
    "season_starts?": orNull(text),
    "assured_by?": text,
  },
  outlet: { name: text, outlet: text, guard: orNull(id), note: text },
  device: {
    name: text,
    type: text,
    installed: orNull(text),
    "made?": orNull(text),
    note: text,
    "number?": text,
    "hots?": number,
    "fixed?": flag,
    "retired?": flag,
  },
  instrument: INSTRUMENT,
  photo: { hash: text, bytes: number, type: text, width: number, height: number, what: text },
  "rig-map": { parts: [PART], runs: [RUN], modes: { "*": { without: [number] } } },
  change: { what: text, why: text, parts: [text], map: orNull(id), wire: text, device: text },
  proof: {
    step: text,
    part: orNull(text),
    pair: orNull(text),
    outcome: orNull(text),
    value: orNull(text),
    unit: orNull(text),
    record: orNull(id),
    note: text,
  },
  look: {
    of: text,
    points: { "*": text },
    not_tested: [text],
    note: text,
    "volts?": text,
    "ohms?": text,
    "ends?": { "smoke?": text, "co?": text, "gas?": text, "extinguisher?": text },
  },
  round: { started_at: moment, steps: [STEP] },
  incident: { what: text, at: text, note: text },
};

/**
 * Holds a record of a file against the shape of one.
 * @param {unknown} record
 * @returns {string|null} where it first differs, as a pointer; null where it does not
 */
export function recordWrongAt(record) {
  return wrongAt(record, RECORD) ?? bodyWrongAt(/** @type {LogRecord} */ (record));
}

/** @param {LogRecord} record */
function bodyWrongAt({ kind, body }) {
  return Object.hasOwn(BODIES, kind) ? wrongAt(body, /** @type {Shape} */ (BODIES[kind]), "/body") : null;
}

/**
 * @param {unknown} value
 * @param {Shape} shape
 * @param {string} [at]
 * @returns {string|null} where a value first has not the shape, as a pointer; null where it has
 */
function wrongAt(value, shape, at = "") {
  if (typeof shape === "function") return shape(value) ? null : at;
  if (Array.isArray(shape))
    return Array.isArray(value)
      ? firstWrong(
          value.map((inner, i) => [i, inner]),
          /** @type {Shape} */ (shape[0]),
          at,
        )
      : at;
  if (typeof value !== "object" || value === null || Array.isArray(value)) return at;
  if (shape["*"]) return firstWrong(Object.entries(value), shape["*"], at);
  for (const [name, inner] of Object.entries(shape)) {
    const member = name.replace("?", "");
    if (!Object.hasOwn(value, member) && member !== name) continue;
    const wrong = wrongAt(/** @type {Record<string, unknown>} */ (value)[member], inner, `${at}/${member}`);
    if (wrong !== null) return wrong;
  }
  return null;
}

/** @param {[string|number, unknown][]} entries @param {Shape} shape @param {string} at @returns {string|null} */
function firstWrong(entries, shape, at) {
  for (const [step, inner] of entries) {
    const wrong = wrongAt(inner, shape, `${at}/${step}`);
    if (wrong !== null) return wrong;
  }
  return null;
}
