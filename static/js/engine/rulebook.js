// The rulebook on the phone: checked once an object against its own id, then held typed.

import { canonical } from "./canonical.js";
import { LAMP_STATES } from "./check.js";
import { kernelOfLimits } from "./likelihood.js";
import { NEEDED_LIMITS } from "./needed.js";
import { isWhole, loadSet, meterSet } from "./points.js";
import { sha256Hex } from "./sha256.js";

/** @import { LoadSet, MeterSet } from "./points.js" */
/** @import { OutletType } from "../../../schemas/shapes/record.d.ts" */
/** @import { Family as RawFamily, Test as RawTest } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { FamilyName, Pair, Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */

/**
 * @typedef {ReturnType<typeof typed>} Rules the rulebook as the engine goes by it
 * @typedef {ReturnType<typeof typedFamily>} Family
 * @typedef {{wiring: number, variant: number, isMirrored: boolean}} Way in which an explanation can be
 * @typedef {ReturnType<typeof test>} Test
 * @typedef {[string, string, string]} Loop the three pairs between three contacts
 */

const FORMAT = 2;
const EARTH = "e";
const MOST_WIRINGS = 1000;
/** @type {FamilyName[]} */
const FAMILIES = ["three-wire", "split-phase"];
/** @type {(keyof RawFamily["meters"])[]} */
const METERS = ["high-impedance", "low-impedance"];
/** @type {WeakMap<object, Rules>} */
const opened = new WeakMap();
/** @type {WeakSet<object>} whose text is what their id names */
const proved = new WeakSet();

export class RulebookDamaged extends Error {
  /** @param {string} reason */
  constructor(reason) {
    super(`The rulebook cannot be used: ${reason} No verdict is given.`);
    this.name = "RulebookDamaged";
  }
}

/**
 * Give what the text of a rulebook holds; whether that is whole shows when it is opened. The text that is served is
 * canonical, so its bytes without the id are those that the id names: hashing them proves it, and nothing has to be
 * written anew for that. They hold the id no more, or they could not have it as their hash; so what was cut out was
 * the one member that gave it. Where the text is not proved, opening holds what it says against its id.
 * @param {string} text
 * @param {(text: string) => Promise<string>} hash gives a text's SHA-256 in hex, lower-case
 * @returns {Promise<Rulebook>}
 */
export async function readRulebook(text, hash) {
  const raw = JSON.parse(text);
  const rest = text.trimEnd().replace(`"id":"${raw?.id}",`, "");
  if (raw?.id === `sha256:${await hash(rest)}`) proved.add(raw);
  return raw;
}

/**
 * Give the rulebook with its sample points as rows, or throw RulebookDamaged.
 * @param {Rulebook|null|undefined} raw as fetched from /rulebook.json, or as it was damaged on its way
 * @returns {Rules}
 */
export function openRulebook(raw) {
  if (raw === null || typeof raw !== "object") throw new RulebookDamaged("it is missing.");
  const known = opened.get(raw);
  if (known) return known;
  if (!proved.has(raw) && !fitsItsId(raw)) throw new RulebookDamaged("its content does not match its id.");
  if (raw.format !== FORMAT) throw new RulebookDamaged("it is of another format.");
  const missing = NEEDED_LIMITS.filter((name) => !Object.hasOwn(raw.limits ?? {}, name));
  if (missing.length > 0) throw new RulebookDamaged(`these limits are missing: ${missing.join(", ")}.`);
  const rulebook = typed(raw);
  opened.set(raw, rulebook);
  return rulebook;
}

/**
 * Tell whether a rulebook's content is what its id names. Where its members stand in canonical order, as they are
 * served, writing them down plainly gives the bytes that were hashed, and sooner; in another order they are set right.
 * @param {Rulebook} raw
 */
function fitsItsId({ id, ...body }) {
  return [JSON.stringify, canonical].some((write) => id === `sha256:${sha256Hex(write(body))}`);
}

/** @param {Rulebook} raw */
function typed(raw) {
  const families = /** @type {Record<FamilyName, Family>} */ ({});
  for (const id of FAMILIES) families[id] = whole(typedFamily(id, complete(id, raw.families?.[id])));
  /** @param {string} name */
  const limit = (name) => raw.limits[name].value;
  return {
    id: raw.id,
    raw,
    families,
    limits: raw.limits,
    limit,
    kernel: kernelOfLimits(limit),
    misread: LAMP_STATES.map((state) => raw.misread[state]),
    /** @param {OutletType} outlet */
    familyOf: (outlet) => families[raw.outlets[outlet].family],
  };
}

/** @param {FamilyName} id @param {RawFamily} family */
function typedFamily(id, family) {
  const columned = [...Object.values(family.meters), ...Object.values(family.loads)].flat();
  if (!columned.every(isWhole)) throw new RulebookDamaged("a column of it is not whole.");
  /** @type {Record<string, MeterSet[]>} */
  const meters = {};
  for (const [kind, sets] of Object.entries(family.meters)) meters[kind] = sets.map(meterSet);
  /** @type {Record<string, LoadSet[]>} */
  const loads = {};
  for (const [across, sets] of Object.entries(family.loads)) loads[across] = sets.map(loadSet);
  const isMirrored = Object.keys(family.mirror).length > 0;
  return {
    id,
    contacts: family.contacts,
    pairs: family.pairs,
    loops: loopsOf(family.contacts),
    barePairs: family.pairs.filter((pair) => !pair.endsWith("-e")),
    acrosses: family.acrosses,
    testers: /** @type {Record<string, string[]>} */ (family.testers),
    testerNames: Object.keys(family.testers).sort().reverse(),
    lampPairs: family.testers.lamps,
    mirror: /** @type {Record<string, Pair>} */ (family.mirror),
    isMirrored,
    wirings: family.wirings,
    ways: waysOf(family.wirings, isMirrored ? [false, true] : [false]),
    meters,
    lamps: family.lamps,
    loads,
    tests: family.tests.map(test),
  };
}

/**
 * Give every three contacts, the earth among them, as the three pairs between them.
 * @param {string[]} ofOutlet
 */
function loopsOf(ofOutlet) {
  const contacts = [...ofOutlet, EARTH];
  /** @type {Loop[]} */
  const loops = [];
  for (let one = 0; one < contacts.length; one += 1)
    for (let two = one + 1; two < contacts.length; two += 1)
      for (let three = two + 1; three < contacts.length; three += 1) {
        const [a, b, c] = [contacts[one], contacts[two], contacts[three]];
        loops.push([`${a}-${b}`, `${a}-${c}`, `${b}-${c}`]);
      }
  return loops;
}

/** @type {Record<"meters"|"lamps"|"loads", string[]>} */
const SET_PARTS = {
  meters: ["classes", "spreads", "columns", "count"],
  lamps: ["classes", "patterns"],
  loads: ["classes", "steady", "ratio_spreads", "ohms", "ratios", "shares", "count"],
};
const WIRING_PARTS = [
  "id",
  "is_named",
  "is_dangerous",
  "is_decided_by_ohms",
  "prior",
  "usable",
  "when_unplugged",
  "variants",
  "sets",
  "continuity",
];
const TEST_PARTS = ["id", "effort", "is_harmless", "dangerous_under", "supplies", "places", "done_by", "separates"];

/**
 * Give a family as it stands in the rulebook when no part of it is missing, or throw.
 * @param {FamilyName} id
 * @param {any} family as it came, which may be damaged in any way
 * @returns {RawFamily}
 */
function complete(id, family) {
  /** @param {any} one likewise @param {string[]} parts */
  const lacks = (one, parts) => parts.some((part) => one?.[part] === undefined);
  const sets = Object.entries(SET_PARTS).flatMap(([kind, parts]) =>
    Object.values(family?.[kind] ?? { none: [null] }).flatMap((each) =>
      each.map((/** @type {unknown} */ one) => /** @type {[unknown, string[]]} */ ([one, parts])),
    ),
  );
  const isShort =
    lacks(family, ["contacts", "pairs", "acrosses", "testers", "mirror", "wirings", "tests"]) ||
    sets.some(([one, parts]) => lacks(one, parts)) ||
    family.wirings.some((/** @type {unknown} */ one) => lacks(one, WIRING_PARTS)) ||
    family.tests.some((/** @type {unknown} */ one) => lacks(one, TEST_PARTS));
  if (isShort) throw new RulebookDamaged(`a part of ${id} is missing.`);
  return family;
}

/**
 * Give a family in which every variant's points are there, or throw.
 * @param {Family} family
 * @returns {Family}
 */
function whole(family) {
  const kinds = /** @type {[string, unknown[]][]} */ ([
    ...METERS.map((kind) => [kind, family.meters[kind]]),
    ...family.testerNames.map((name) => [name, family.lamps[name]]),
    ...family.acrosses.map((across) => [`load ${across}`, family.loads[across]]),
  ]);
  for (const { id, sets, continuity, variants } of family.wirings) {
    const isPaired = sets.length === variants.length && continuity.length === variants.length;
    const hasPoints = kinds.every(([kind, points]) => sets.every((places) => points[places[kind]] !== undefined));
    if (!isPaired || !hasPoints) throw new RulebookDamaged(`${id} lacks some of its points.`);
  }
  return family;
}

/** @param {RawFamily["wirings"]} wirings @param {boolean[]} mirrorings @returns {Way[]} */
const waysOf = (wirings, mirrorings) =>
  wirings.flatMap(({ variants }, wiring) =>
    variants.flatMap((_, variant) => mirrorings.map((isMirrored) => ({ wiring, variant, isMirrored }))),
  );

/** @param {RawTest} entry */
function test(entry) {
  /** @type {Map<number, number>|undefined} */
  let shares;
  return {
    ...entry,
    /** @param {number} one @param {number} two places of explanations, the earlier first */
    separation(one, two) {
      shares ??= sharesOf(entry);
      return shares.get(placeOf(one, two)) ?? 0;
    },
  };
}

/** @param {RawTest} entry */
const sharesOf = ({ separates }) => new Map(separates.map(([one, two, share]) => [placeOf(one, two), share / 100]));

/** @param {number} one @param {number} two */
const placeOf = (one, two) => one * MOST_WIRINGS + two;
