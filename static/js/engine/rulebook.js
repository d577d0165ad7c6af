// The rulebook on the phone: checked once an object against its own id, then held typed.

import { canonical } from "./canonical.js";
import { sha256Hex } from "./sha256.js";

const FORMAT = 1;
const NEEDED_LIMITS = [
  "low-stop", "low-limit", "low-note", "rig-low-limit", "high-note", "high-limit", "high-stop", "meter-coarse",
  "hertz-low", "hertz-high", "skin-utility", "trip-low-milliamps", "trip-high-milliamps",
];
const opened = new WeakMap();

export class RulebookDamaged extends Error {
  constructor(reason) {
    super(`The rulebook cannot be used: ${reason} No verdict is given.`);
    this.name = "RulebookDamaged";
  }
}

/**
 * Give the rulebook with its sample points as rows, or throw RulebookDamaged.
 * @param {object} raw as fetched from /rulebook.json
 */
export function openRulebook(raw) {
  if (raw === null || typeof raw !== "object") throw new RulebookDamaged("it is missing.");
  const known = opened.get(raw);
  if (known) return known;
  const { id, ...body } = raw;
  if (id !== `sha256:${sha256Hex(canonical(body))}`) throw new RulebookDamaged("its content does not match its id.");
  if (raw.format !== FORMAT) throw new RulebookDamaged("it is of another format.");
  const missing = NEEDED_LIMITS.filter((name) => !Object.hasOwn(raw.limits ?? {}, name));
  if (missing.length > 0) throw new RulebookDamaged(`these limits are missing: ${missing.join(", ")}.`);
  const rulebook = typed(raw);
  opened.set(raw, rulebook);
  return rulebook;
}

function typed(raw) {
  const meters = {};
  for (const [kind, sets] of Object.entries(raw.meters)) meters[kind] = sets.map(meterSet);
  const named = raw.wirings.filter((wiring) => wiring.is_named).map((wiring) => wiring.id);
  const tests = raw.tests.map((test) => ({
    ...test,
    terms: test.separates.map(([one, two, share]) => [named[one], named[two], share / 100]),
  }));
  return { id: raw.id, raw, wirings: raw.wirings, meters, lamps: raw.lamps, limits: raw.limits, tests };
}

function meterSet({ classes, spreads, columns }) {
  return { classes, spreads, points: columns[0].map((_, row) => columns.map((column) => column[row])) };
}
