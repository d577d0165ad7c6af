import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { keyOf } from "../../static/js/engine/proving.js";
import { groundRules, groundsOf, outletsLeftOut } from "../../static/js/proving/grounds-progress.js";
import { endedBy, missingFor, nextStep, progressOf } from "../../static/js/rig/proving.js";

const read = (name) =>
  JSON.parse(readFileSync(new URL(`../../schemas/facts/${name}.json`, import.meta.url), "utf8")).entries;
const TABLES = { proving: read("proving"), due: read("due"), looks: read("looks") };
const PAIRS = ["h-n", "h-g", "n-g"];
const OHMS = { rule: "ground-continuous", part: "r1", pair: null };
const HOUR = 60;
const DAY = 24 * HOUR;
const NOON = Date.parse("2026-11-25T12:00:00Z");

const PARTS = [
  { id: "inlet", kind: "inlet", name: "Inlet", amps: 30 },
  ...["r1", "r2"].map((id) => ({
    id,
    kind: "receptacle",
    name: `Outlet ${id}`,
    outlet_type: "5-15",
    outlet: `o-${id}`,
  })),
  { id: "fridge", kind: "appliance", name: "Fridge" },
];
const RUNS = [
  { from: "inlet", to: "r1" },
  { from: "inlet", to: "r2" },
  { from: "r2", to: "fridge" },
];
const RIG = [
  ["rig", "rig", { name: "Wren", outlet: "TT-30", note: "" }],
  ...["r1", "r2"].map((id) => ["outlet", `o-${id}`, { name: id, outlet: "5-15", guard: null }]),
  ["rig-map", "m", { parts: PARTS, runs: RUNS, modes: {} }],
].map(([kind, id, body]) => [kind, id, body, { at: -100 * DAY }]);

/** Rows in their order, at so many minutes after noon. */
const rowsOf = (records) =>
  records.map(([kind, id, body, { at = 0, ...members } = {}], i) => ({
    id,
    seq: i,
    record: {
      id,
      kind,
      rig: "rig",
      subject: null,
      corrects: null,
      observed_at: new Date(NOON + at * 60_000).toISOString(),
      body,
      ...members,
    },
  }));

let number = 0;
const fresh = (letter) => {
  number += 1;
  return `${letter}${number}`;
};
const proof = (step, part, { pair = null, outcome = "good", at = 0, subject = null } = {}) => [
  "proof",
  fresh("p"),
  { step, part, pair, outcome, value: null, unit: null, record: null, note: "" },
  { subject, at },
];
const chain = (at = 0) => [
  proof("unplugged", null, { at }),
  proof("source-dead", null, { at }),
  proof("meter-before", null, { at }),
  ...["inlet", "r1", "r2"].flatMap((part) => PAIRS.map((pair) => proof("no-volts", part, { pair, at }))),
  ...PAIRS.map((pair) => proof("no-volts-dc", "inlet", { pair, at })),
  proof("meter-after", null, { at }),
  proof("leads-zeroed", null, { at }),
];
const ohms = (at = 0, outcomes = {}) =>
  ["r1", "r2", "fridge"].map((part) => proof("ground-continuous", part, { at, outcome: "good", ...outcomes[part] }));
const grounds = (records, now = 0) => ({
  ...groundsOf(rowsOf([...RIG, ...records]), "rig", TABLES, NOON + now * 60_000),
  now: NOON + now * 60_000,
});
const change = (at) => [
  "change",
  fresh("c"),
  { what: "New cable", why: "", parts: ["r1"], map: "m", wire: "", device: "" },
  { at },
];

test("grounds take the steps without power up to the ohms, of every outlet and frame, and no others", () => {
  assert.deepEqual(grounds([]).steps.map(keyOf), [
    "unplugged||",
    "source-dead||",
    "meter-before||",
    ...["inlet", "r1", "r2"].flatMap((part) => PAIRS.map((pair) => `no-volts|${part}|${pair}`)),
    ...PAIRS.map((pair) => `no-volts-dc|inlet|${pair}`),
    "meter-after||",
    "leads-zeroed||",
    ...["r1", "r2", "fridge"].map((part) => `ground-continuous|${part}|`),
  ]);
});

test("all steps in their order show every ground", () => {
  const found = grounds([...chain(), ...ohms()]);

  assert.equal(found.state, "proved");
  assert.equal(found.change, null);
  assert.equal(nextStep(found), undefined);
});

test("ohms wait for the absence of volts at each outlet", () => {
  const records = chain().filter(([, , { part, pair }]) => !(part === "r2" && pair === "n-g"));

  assert.deepEqual(missingFor(grounds(records), OHMS), { rule: "no-volts", part: "r2", pair: "n-g" });
});

test("a bad one fails it, one that was left out is not shown", () => {
  assert.equal(grounds([...chain(), ...ohms(0, { r2: { outcome: "bad" } })]).state, "failed");
  assert.equal(grounds([...chain(), ...ohms(0, { r2: { outcome: null } })]).state, "not-proved");
});

test("what was noted seven days ago counts, what is older is done anew", () => {
  const records = [...chain(), ...ohms()];

  assert.equal(grounds(records, 7 * DAY).state, "proved");
  assert.equal(grounds(records, 7 * DAY + 1).state, "not-proved");
  assert.equal(grounds(records, 7 * DAY + 1).newest.size, 0);
});

test("absence of volts opens ohms for four hours, as in a change", () => {
  assert.equal(missingFor(grounds(chain(), 4 * HOUR), OHMS), undefined);
  assert.equal(endedBy(grounds(chain(), 4 * HOUR + 1), OHMS), "time");
});

for (const [about, record] of [
  [
    "a test of an outlet",
    ["outlet-test", "t", { check: { outlet: "5-15" }, judgement: { verdict: "use" } }, { subject: "o-r1", at: 1 }],
  ],
  ["a trip test", ["trip-test", "t", { by: "button", tripped: true }, { subject: "d", at: 1 }]],
  ["plugging in", ["plug-in", "t", {}, { subject: "a", at: 1 }]],
  ["a step with power of a change", proof("polarity", "r1", { at: 1, subject: "some-change" })],
]) {
  test(`after ${about}, ohms wait for the whole way to absence of volts again`, () => {
    const found = grounds([...chain(), record], 2);

    assert.deepEqual(missingFor(found, OHMS), { rule: "unplugged", part: null, pair: null });
    assert.equal(endedBy(found, OHMS), "power");
    assert.equal(missingFor(grounds([...chain(), record, ...chain(2)], 3), OHMS), undefined);
  });
}

test("power after the last ohms takes nothing back", () => {
  assert.equal(
    grounds([...chain(), ...ohms(), proof("polarity", "r1", { at: 1, subject: "some-change" })], 2).state,
    "proved",
  );
});

test("proofs of a change show no ground here", () => {
  const records = [...chain(), ...ohms()].map(([kind, id, body, members]) => [
    kind,
    id,
    body,
    { ...members, subject: "some-change" },
  ]);

  assert.equal(grounds(records).newest.size, 0);
});

test("proofs without a change leave every step of a change open", () => {
  const found = progressOf(
    rowsOf([...RIG, ["change", "c", change(0)[2], { at: -1 }], ...chain(), ...ohms()]),
    "c",
    TABLES.proving,
  );

  assert.equal(found.state, "not-proved");
  assert.deepEqual([...new Set(found.states.values())], ["open"]);
});

test("a bad proof without a change fails no change", () => {
  const found = progressOf(
    rowsOf([...RIG, ["change", "c", change(0)[2], { at: -1 }], proof("ground-continuous", "r1", { outcome: "bad" })]),
    "c",
    TABLES.proving,
  );

  assert.equal(found.state, "not-proved");
});

test("what was noted before the newest change is done anew; a change dated ahead takes nothing back", () => {
  assert.equal(grounds([...chain(), ...ohms(), change(1)], 2).newest.size, 0);
  assert.equal(grounds([...chain(), ...ohms(), change(60)], 2).state, "proved");
});

test("a proof that a clock dates more than a day ahead does not count", () => {
  assert.equal(grounds([...chain(3 * DAY), ...ohms(3 * DAY)]).newest.size, 0);
});

test("an outlet that is not on the map is named as left out", () => {
  const found = grounds([["outlet", "o-new", { name: "Porch", outlet: "5-15", guard: null }, { at: -DAY }]]);

  assert.deepEqual(
    outletsLeftOut(found).map(({ body }) => body.name),
    ["Porch"],
  );
});

test("a rig without outlets has nothing to show", () => {
  const found = groundsOf(rowsOf(RIG.slice(0, 1)), "rig", TABLES, NOON);

  assert.deepEqual([found.steps, found.state], [[], "not-proved"]);
});

test("a rig that the phone does not hold gives nothing", () => {
  assert.equal(groundsOf(rowsOf(RIG), "other", TABLES, NOON), null);
});

test("a table of an earlier release has no steps of grounds", () => {
  assert.deepEqual(groundRules(TABLES.proving.map(({ grounds_alone: _, ...rule }) => rule)), []);
});
