import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { offerOf } from "../../static/js/check/offer.js";

const SUPPLIES = ["utility", "generator", "inverter"];
const entry = (id, members = {}) => ({
  id,
  is_harmless: true,
  dangerous_under: [],
  supplies: SUPPLIES,
  places: ["pedestal", "rig"],
  ...members,
});
const TESTS = [
  entry("detector"),
  entry("lamps"),
  entry("meter"),
  entry("low-impedance", { is_harmless: false }),
  entry("load", { is_harmless: false, dangerous_under: ["hot-ground-reversed"] }),
  entry("frame-continuity", { supplies: ["generator", "inverter"] }),
  entry("ask-the-stars"),
];
const RULEBOOK = {
  outlets: { "TT-30": { family: "three-wire" } },
  families: { "three-wire": { tests: TESTS, wirings: [] } },
};
const VALUES = { outlet: "TT-30", supply: "utility", by: "meter", "meter.input": "high-impedance" };
const answer = (members = {}) => ({
  verdict: "use",
  faults: [{ id: "correct", probability: 0.97 }],
  not_ruled_out: [],
  findings: [],
  next_test: null,
  ...members,
});
const offer = (members, values = {}) => offerOf(answer(members), RULEBOOK, { ...VALUES, ...values }, "pedestal");
const ids = ({ others }) => others.map(({ id }) => id);

test("the proposed test leads on, the others are listed quietly", () => {
  const { next, ...rest } = offer({ next_test: { id: "detector", separates: [] } });

  assert.equal(next, "detector");
  assert.deepEqual(ids(rest), ["lamps", "low-impedance", "load"]);
});

test("a test that is dangerous under what may be so is not offered", () => {
  const risky = offer({ not_ruled_out: ["hot-ground-reversed"] });
  assert.ok(!ids(risky).includes("load"));
  assert.deepEqual(risky.notYet, ["load"]);
  assert.ok(
    !ids(
      offer({
        faults: [
          { id: "correct", probability: 0.9 },
          { id: "hot-ground-reversed", probability: 0.01 },
        ],
      }),
    ).includes("load"),
  );
  assert.ok(
    ids(
      offer({
        faults: [
          { id: "correct", probability: 0.99 },
          { id: "hot-ground-reversed", probability: 0.009 },
        ],
      }),
    ).includes("load"),
  );
});

test("where nothing known fits, or nothing was read, no dangerous test is offered", () => {
  for (const faults of [
    [],
    [
      { id: "correct", probability: 0.98 },
      { id: "other", probability: 0.02 },
    ],
  ]) {
    assert.deepEqual(offer({ faults }).notYet, ["load"]);
    assert.ok(ids(offer({ faults })).includes("low-impedance"));
  }
});

test("an outlet that is not to be used is not loaded, but the load that was entered can be changed", () => {
  assert.deepEqual(offer({ verdict: "do-not-use" }).notYet, ["load"]);
  assert.ok(ids(offer({ verdict: "do-not-use" }, { added: ["load"], "load.done": "yes" })).includes("load"));
});

test("after a stop that no test can settle the proposed test is only listed", () => {
  const stop = { id: "breaker-too-big", level: "stop" };
  const found = offer({ findings: [stop], next_test: { id: "detector", separates: [] } });

  assert.equal(found.next, null);
  assert.ok(ids(found).includes("detector"));
});

test("a stop that comes from what the readings may mean leaves the way open", () => {
  assert.equal(
    offer({ findings: [{ id: "neutral-lost-upstream", level: "stop" }], next_test: { id: "detector", separates: [] } })
      .next,
    "detector",
  );
  assert.equal(
    offer({ findings: [{ id: "voltage-low", level: "limit" }], next_test: { id: "detector", separates: [] } }).next,
    "detector",
  );
});

const REAL = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const RIGHT = [{ id: "correct", probability: 0.97 }];
const really = (members, values = {}, outlet = "TT-30") =>
  offerOf(answer({ faults: RIGHT, ...members }), REAL, { ...VALUES, outlet, ...values }, "rig");

test("what bars a load is named, with the test that rules it out", () => {
  const left = ["neutral-ground-reversed", "neutral-ground-bonded", "reversed-with-bonded-ground"];
  const { notYet, barred } = really({ not_ruled_out: left });

  // The three readings between the contacts cannot tell it, a detector's silence proves nothing: an earth does.
  assert.deepEqual(notYet, ["load", "upstream-hold"]);
  assert.deepEqual(barred, { why: "standing", by: ["reversed-with-bonded-ground"], first: ["earth"] });
});

test("a test that was made and did not rule it out is not named again", () => {
  const { barred } = really(
    { not_ruled_out: ["reversed-with-bonded-ground"] },
    { added: ["earth"], "earth.done": "yes" },
  );

  assert.deepEqual(barred, { why: "standing", by: ["reversed-with-bonded-ground"], first: [] });
});

test("one test is named where it does for all that stands in the way", () => {
  const { barred } = really({ not_ruled_out: ["leaking-appliance", "reversed-with-bonded-ground"] }, { by: "lamps" });

  assert.deepEqual(barred.first, ["earth"]);
});

test("every test that is not to be made yet says why", () => {
  assert.equal(really({ verdict: "do-not-use" }).barred.why, "not-used");
  assert.equal(really({ faults: [] }).barred.why, "unknown");
  assert.equal(really({}).barred, null);
});

test("what clears the way is itself open", () => {
  for (const [outlet, { family }] of Object.entries(REAL.outlets)) {
    for (const { id } of REAL.families[family].wirings.filter(({ is_named }) => is_named)) {
      const { others, next, barred } = really({ not_ruled_out: [id] }, {}, outlet);
      for (const first of barred?.first ?? [])
        assert.ok(first === next || others.some((each) => each.id === first), `${outlet} ${id}`);
      assert.ok(!barred || barred.first.length, `${outlet} ${id}`);
    }
  }
});

test("nothing is tested at an outlet that was stopped by its look", () => {
  assert.deepEqual(offer({}, { stopped: "yes" }), { next: null, others: [], notYet: [], barred: null });
});

test("a test stands only where it can be done and tells something", () => {
  assert.ok(ids(offer({}, { supply: "generator" })).includes("frame-continuity"));
  assert.ok(!ids(offer({})).includes("meter"));
  assert.ok(ids(offer({}, { quick: "yes", "volts.h-n": "121" })).includes("meter"));
  assert.ok(ids(offer({}, { by: "lamps" })).includes("meter"));
  assert.ok(ids(offer({}, { "volts.h-g.skipped": "yes" })).includes("meter"));
  assert.ok(!ids(offer({}, { "meter.input": "low-impedance" })).includes("low-impedance"));
});

test("a test that was entered says so", () => {
  const { others } = offer({}, { added: ["load"], "load.done": "yes" });

  assert.deepEqual(
    others.find(({ id }) => id === "load"),
    { id: "load", isDone: true },
  );
});
