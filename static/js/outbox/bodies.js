// Made from schemas/book/kinds by deploy/javascript/kinds.mjs; not edited by hand.
import { flag, id, moment, number, orNull, text } from "./shape.js";

const PLACE = { park: text, site: text };
const LOADED = { "across?": text, amps: text, "amps_percent?": text, "volts?": { "*": text }, "after?": { "*": text } };
const MORE = {
  "state?": text,
  "meter?": { "*": text },
  "volts?": { "*": text },
  "lamps?": { "*": text },
  "loaded?": LOADED,
};
const PRESSED = {
  by: text,
  "device?": text,
  "tripped?": flag,
  "face_dead?": flag,
  "reset?": flag,
  "milliseconds?": text,
  "milliamps?": text,
};
const CHECK = {
  outlet: text,
  "supply?": text,
  "where?": text,
  "breaker_amps?": text,
  "hertz?": text,
  "via?": [text],
  "meter?": { "*": text },
  "volts?": { "*": text },
  "lamps?": { "*": text },
  "loaded?": LOADED,
  "more?": [MORE],
  "continuity?": { "*": text },
  "near?": { "*": flag },
  "trip?": [PRESSED],
  "look?": [text],
};
const READY = { dry: flag, meter_proved: flag, category: orNull(text) };
const JUDGEMENT = { verdict: text, rulebook: text, first: orNull(text) };
const RIG_PART = {
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
const RIG_RUN = {
  from: text,
  to: text,
  "from_side?": text,
  "awg?": orNull(number),
  "cord?": orNull(text),
  "feet?": orNull(number),
};

/**
 * The bodies by kind. A kind of a later version is kept; no list of this one draws it.
 * @type {Record<string, import("./shape.js").Shape>}
 */
export const BODIES = {
  "arrival-check": { place: PLACE, check: CHECK, ready: READY, not_tested: [text], judgement: JUDGEMENT },
  "outlet-test": { check: CHECK, ready: READY, not_tested: [text], judgement: JUDGEMENT },
  "plug-in": {
    skin: orNull({ by: text, "detected?": flag, "volts?": text, "low_impedance?": text, "earth_proved?": flag }),
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
    dead: [id],
    live: [id],
    not_tested: [text],
    "mode?": orNull(text),
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
    "number?": text,
    "hots?": number,
    "fixed?": flag,
    "retired?": flag,
    note: text,
  },
  instrument: {
    type: text,
    name: text,
    "input?": text,
    "accuracy_percent?": text,
    "accuracy_volts?": text,
    "category?": orNull(text),
    "lamps?": [{ called: text, pair: text }],
  },
  photo: { hash: text, bytes: number, type: text, width: number, height: number, what: text },
  "rig-map": { parts: [RIG_PART], runs: [RIG_RUN], modes: { "*": { without: [number] } } },
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
    "ends?": { "*": text },
  },
  round: {
    started_at: moment,
    steps: [{ what: text, subject: orNull(id), of: orNull(text), record: orNull(id), skipped: flag, why: text }],
  },
  incident: { what: text, at: text, note: text },
  plan: {
    supply: text,
    open: text,
    is_read: flag,
    loop_ohms: number,
    loop_spread: number,
    cords: [{ awg: number, feet: number }],
    cord_ohms: number,
    loads: [{ name: text, watts: number }],
    off: [text],
    planned: { volts: text, least: text, most: text, amps: text, fits: flag },
    read: orNull({ volts: text, amps: text, outlet: orNull(text) }),
    note: text,
  },
  "site-note": { place: PLACE, note: text },
};
