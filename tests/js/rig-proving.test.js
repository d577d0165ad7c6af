import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { bringEngine } from "../../static/js/check/engine.js";
import { testFor } from "../../static/js/proving/tests.js";
import { endedBy, missingFor, progressOf } from "../../static/js/rig/proving.js";

await bringEngine();

const RULES = JSON.parse(readFileSync(new URL("../../schemas/facts/proving.json", import.meta.url), "utf8")).entries;
const RULEBOOK = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const PAIRS = ["h-n", "h-g", "n-g"];
const OHMS = { rule: "ground-continuous", part: "r1", pair: null };
const TRIPS = { rule: "trips", part: "g1", pair: null };
const POLARITY = { rule: "polarity", part: "r1", pair: null };
const SKIN = { rule: "skin-plugged", part: null, pair: null };
const MINUTE = 60_000;
const NOON = Date.parse("2026-11-25T12:00:00Z");

const PARTS = [
  { id: "inlet", kind: "inlet", name: "Inlet", amps: 30 },
  { id: "g1", kind: "gfci-receptacle", name: "Galley", outlet_type: "5-15", device: "d" },
  ...["r1", "r2", "r3"].map((id) => ({
    id,
    kind: "receptacle",
    name: `Outlet ${id}`,
    outlet_type: "5-15",
    outlet: `o-${id}`,
  })),
];
const RUNS = [{ from: "inlet", to: "g1" }, ...["r1", "r2", "r3"].map((to) => ({ from: "g1", to, from_side: "load" }))];

/** Rows in their order, one a minute from noon on unless at says when. */
function rowsOf(records) {
  return records.map(([kind, id, body, members = {}], i) => ({
    id,
    seq: i,
    record: {
      id,
      kind,
      rig: "rig",
      subject: null,
      corrects: null,
      observed_at: new Date(NOON + (members.at ?? i) * MINUTE).toISOString(),
      body,
      ...members,
    },
  }));
}

function aRig({ parts = PARTS, device = "gfci-receptacle" } = {}) {
  return [
    ["rig", "rig", { name: "Wren", outlet: "TT-30", note: "" }, { at: -100 }],
    ["device", "d", { name: "Galley", type: device }, { at: -100 }],
    ...["r1", "r2", "r3"].map((id) => ["outlet", `o-${id}`, { name: id, outlet: "5-15", guard: "d" }, { at: -100 }]),
    ["rig-map", "m", { parts, runs: RUNS, modes: {} }, { at: -100 }],
    ["change", "c", { what: "New cable", why: "", parts: ["r1"], map: "m", wire: "", device: "" }, { at: -50 }],
  ];
}

let number = 0;
const fresh = (letter) => {
  number += 1;
  return `${letter}${number}`;
};
const proof = (step, part, { pair = null, outcome = "good", at = 0 } = {}) => [
  "proof",
  fresh("p"),
  { step, part, pair, outcome, value: null, unit: null, record: null, note: "" },
  { subject: "c", at },
];
const chain = (at = 0) => [
  proof("unplugged", null, { at }),
  proof("source-dead", null, { at }),
  proof("battery-off", null, { at }),
  proof("meter-before", null, { at }),
  ...["inlet", "r1"].flatMap((part) => PAIRS.map((pair) => proof("no-volts", part, { pair, at }))),
  ...PAIRS.map((pair) => proof("no-volts-dc", "inlet", { pair, at })),
  proof("meter-after", null, { at }),
  proof("leads-zeroed", null, { at }),
];
const ohms = (at = 0) => [
  proof("ground-continuous", "r1", { at }),
  ...["frame-bond", "dc-negative", "joints-made", "spared"].map((step) => proof(step, null, { at })),
  proof("hot-ground-apart", "inlet", { pair: "h-g", at }),
  ...["neutral-ground-apart", "loads-off"].map((step) => proof(step, null, { at })),
  proof("hot-neutral-apart", "inlet", { pair: "h-n", at }),
  ...["behind-relays", "branches-off"].map((step) => proof(step, null, { at })),
];
const up = (at = 0) => ["skin-plugged", "skin-main", "skin-branches"].map((step) => proof(step, null, { at }));
const progress = (records, now = NOON) => ({ ...progressOf(rowsOf([...aRig(), ...records]), "c", RULES), now });

test("ohms are open once volts were shown absent", () => {
  assert.equal(missingFor(progress(chain()), OHMS), undefined);
});

test("after power, ohms wait for the whole way to absence of volts again", () => {
  const found = progress([...chain(), ...ohms(), proof("polarity", "r1", { at: 1 })]);

  assert.deepEqual(missingFor(found, OHMS), { rule: "unplugged", part: null, pair: null });
  assert.equal(endedBy(found, OHMS), "power");
  assert.equal(missingFor(found, SKIN), undefined);
  assert.deepEqual(missingFor(found, POLARITY), SKIN);
  assert.equal(missingFor(progress([...chain(), ...ohms(), ...up()]), POLARITY), undefined);
});

test("after power and that whole way, ohms are open", () => {
  assert.equal(
    missingFor(progress([...chain(), ...ohms(), proof("polarity", "r1", { at: 1 }), ...chain(2)]), OHMS),
    undefined,
  );
});

test("after a bad step with power, it waits itself until all without power stands again", () => {
  const found = progress([...chain(), ...ohms(), proof("polarity", "r1", { outcome: "bad", at: 1 })]);

  assert.equal(found.state, "failed");
  assert.deepEqual(missingFor(found, POLARITY), { rule: "unplugged", part: null, pair: null });
});

test("absence of volts holds for four hours; then ohms wait for the whole way again", () => {
  const last = progress(chain(), NOON + 240 * MINUTE);
  const over = progress(chain(), NOON + 240 * MINUTE + 1);

  assert.equal(missingFor(last, OHMS), undefined);
  assert.deepEqual([missingFor(over, OHMS).rule, endedBy(over, OHMS)], ["unplugged", "time"]);
});

test("absence of volts shown again opens ohms again", () => {
  assert.equal(missingFor(progress([...chain(), ...chain(230)], NOON + 250 * MINUTE), OHMS), undefined);
});

test("what a step needs and no step answers keeps it locked", () => {
  const found = progress([proof("unplugged", null), proof("meter-before", null)]);
  const steps = found.steps.filter(({ rule }) => rule !== "source-dead");

  assert.deepEqual(missingFor({ ...found, steps }, { rule: "no-volts", part: "inlet", pair: "h-n" }), {
    rule: "source-dead",
    part: null,
    pair: null,
  });
});

const trip = (body, at = 10) => [
  "trip-test",
  fresh("t"),
  {
    by: "button",
    tripped: true,
    face_dead: true,
    reset: true,
    dead: ["o-r1", "o-r2", "o-r3"],
    live: [],
    not_tested: [],
    ...body,
  },
  { subject: "d", at },
];
const pressed = (body, rig) => testFor(progressOf(rowsOf([...aRig(rig), trip(body)]), "c", RULES), TRIPS);

test("a press is good where all that the device guards went dead, its face too, and RESET held", () => {
  assert.equal(pressed({}).outcome, "good");
});

for (const [about, body, missing] of [
  ["one of three outlets", { dead: ["o-r1"] }, "Outlet r2, Outlet r3"],
  ["its own face", { face_dead: null }, "its own face"],
  ["face and outlets", { face_dead: null, dead: ["o-r1"] }, "its own face, Outlet r2, Outlet r3"],
  ["RESET", { reset: null }, "RESET"],
]) {
  test(`a press of which ${about} is not noted decides nothing, and says what is missing`, () => {
    const { outcome, words } = pressed(body);

    assert.equal(outcome, null);
    assert.ok(words.endsWith(`still to be noted: ${missing}`), words);
  });
}

for (const [about, body] of [
  ["that did not trip", { tripped: false, face_dead: null, reset: null, dead: [] }],
  ["whose face stayed live", { face_dead: false }],
  ["that did not reset", { reset: false }],
  ["with an outlet that stayed live", { dead: ["o-r1", "o-r2"], live: ["o-r3"] }],
]) {
  test(`a press ${about} is bad`, () => {
    assert.equal(pressed(body).outcome, "bad");
  });
}

test("a breaker has no face to read", () => {
  const parts = PARTS.map((part) =>
    part.id === "g1" ? { id: "g1", kind: "breaker", gfci: true, name: "Breaker", device: "d" } : part,
  );

  assert.equal(pressed({ face_dead: null }, { parts, device: "gfci-breaker" }).outcome, "good");
});

test("the device's own outlet stands for its face", () => {
  const parts = PARTS.map((part) => (part.id === "g1" ? { ...part, outlet: "o-face" } : part));

  assert.equal(pressed({ face_dead: null, dead: ["o-face", "o-r1", "o-r2", "o-r3"] }, { parts }).outcome, "good");
  assert.equal(pressed({ face_dead: null, live: ["o-face"] }, { parts }).outcome, "bad");
});

const outletTest = (at) => [
  "outlet-test",
  fresh("t"),
  { check: { outlet: "5-15" }, judgement: { verdict: "use" } },
  { subject: "o-r1", at },
];

test("a test of before the change shows nothing, one of after it does", () => {
  assert.equal(testFor(progress([outletTest(-60)]), POLARITY).test, undefined);
  assert.equal(testFor(progress([outletTest(-40)]), POLARITY).outcome, "good");
});

test("after a bad step with power, tests of before it no longer count", () => {
  const bad = proof("trips", "g1", { outcome: "bad", at: 20 });

  assert.equal(testFor(progress([outletTest(10), bad]), POLARITY).test, undefined);
  assert.equal(testFor(progress([trip({}, 10), bad, proof("trips", "g1", { at: 30 })]), TRIPS).test, undefined);
  assert.equal(testFor(progress([outletTest(10), bad, outletTest(21)]), POLARITY).outcome, "good");
});

const UNDER_LOAD = { rule: "under-load", part: "r1", pair: null };

test("a test from before the skin was read, or a load from before TEST, shows nothing", () => {
  const powered = [...chain(), ...ohms(), ...up(10)];
  assert.equal(testFor(progress([...powered, outletTest(9)]), POLARITY).test, undefined);
  assert.equal(testFor(progress([...powered, outletTest(11)]), POLARITY).outcome, "good");
  assert.equal(testFor(progress([...powered, trip({}, 9)]), TRIPS).test, undefined);

  const tested = [...powered, proof("trips", "g1", { at: 20 }), proof("polarity", "r1", { at: 21 })];
  const rested = [...tested, proof("skin-tested", null, { at: 22 })];
  assert.equal(testFor(progress([...rested, loadedTest(2, { at: 15 })]), UNDER_LOAD, RULEBOOK).test, undefined);
  assert.equal(testFor(progress([...rested, loadedTest(2, { at: 23 })]), UNDER_LOAD, RULEBOOK).outcome, "good");
});

/** A test with a load of 10 A, under which so many volts are lost; at 80 % of 15 A, 12 A, it is 1.2 times as much. */
function loadedTest(lost, { amps = "10.0 A", verdict = "use-limited", at = 10 } = {}) {
  const volts = { "h-n": "120.0 V", "h-g": "119.8 V", "n-g": "0.2 V" };
  const meter = { input: "high-impedance", accuracy_percent: "1.0 %", accuracy_volts: "0.3 V" };
  const check = {
    outlet: "5-15",
    supply: "utility",
    where: "rig",
    look: [],
    meter,
    volts,
    loaded: { across: "h-n", amps, volts: { "h-n": `${(120 - lost).toFixed(1)} V` } },
  };
  return ["outlet-test", fresh("t"), { check, judgement: { verdict } }, { subject: "o-r1", at }];
}

function underLoad(lost, { step = UNDER_LOAD, book = RULEBOOK, ...how } = {}) {
  return testFor(progress([loadedTest(lost, how)]), step, book);
}

test("a test under load that loses more than the limit decides nothing, and says what stands in the way", () => {
  const { outcome, words } = underLoad(12.1);

  assert.equal(outcome, null);
  assert.match(words, /^Use with limits\. So much would be lost in the wiring .* Here: 14\.5 V, the limit is 12 V\.$/);
});

test("what is lost at most a note does not keep a step from being good, whatever else limits the outlet", () => {
  assert.deepEqual([underLoad(5.5).outcome, underLoad(5.5).words], ["good", "Use with limits"]);
  assert.equal(underLoad(2, { verdict: "use" }).outcome, "good");
});

test("polarity stays good where only the load speaks against the way", () => {
  assert.equal(underLoad(12.1, { step: POLARITY }).outcome, "good");
});

test("a load too small to tell anything shows no joint, whatever the verdict", () => {
  const { outcome, words } = underLoad(0.2, { amps: "0.5 A", verdict: "use" });

  assert.equal(outcome, null);
  assert.match(words, /cannot be compared, so the joints are not shown/);
});

test("a test that forbids the outlet stays bad, and without a rulebook nothing else is decided", () => {
  assert.equal(underLoad(12.1, { verdict: "do-not-use" }).outcome, "bad");
  assert.equal(underLoad(2, { verdict: "use", book: null }).outcome, null);
  assert.match(underLoad(2, { verdict: "use", book: null }).words, /cannot be judged/);
});
