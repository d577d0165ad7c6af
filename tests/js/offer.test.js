import assert from "node:assert/strict";
import test from "node:test";

import { offerOf } from "../../static/js/check/offer.js";

const SUPPLIES = ["utility", "generator", "inverter"];
const entry = (id, members = {}) => ({ id, is_harmless: true, dangerous_under: [], supplies: SUPPLIES, places: ["pedestal", "rig"], ...members });
const TESTS = [
  entry("detector"),
  entry("lamps"),
  entry("meter"),
  entry("low-impedance", { is_harmless: false }),
  entry("load", { is_harmless: false, dangerous_under: ["hot-ground-reversed"] }),
  entry("frame-continuity", { supplies: ["generator", "inverter"] }),
  entry("ask-the-stars"),
];
const RULEBOOK = { outlets: { "TT-30": { family: "three-wire" } }, families: { "three-wire": { tests: TESTS } } };
const VALUES = { outlet: "TT-30", supply: "utility", by: "meter", "meter.input": "high-impedance" };
const answer = (members = {}) => ({ verdict: "use", faults: [{ id: "correct", probability: 0.97 }], not_ruled_out: [], findings: [], next_test: null, ...members });
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
  assert.ok(!ids(offer({ faults: [{ id: "correct", probability: 0.9 }, { id: "hot-ground-reversed", probability: 0.01 }] })).includes("load"));
  assert.ok(ids(offer({ faults: [{ id: "correct", probability: 0.99 }, { id: "hot-ground-reversed", probability: 0.009 }] })).includes("load"));
});

test("where nothing known fits, or nothing was read, no dangerous test is offered", () => {
  for (const faults of [[], [{ id: "correct", probability: 0.98 }, { id: "other", probability: 0.02 }]]) {
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
  assert.equal(offer({ findings: [{ id: "neutral-lost-upstream", level: "stop" }], next_test: { id: "detector", separates: [] } }).next, "detector");
  assert.equal(offer({ findings: [{ id: "voltage-low", level: "limit" }], next_test: { id: "detector", separates: [] } }).next, "detector");
});

test("nothing is tested at an outlet that was stopped by its look", () => {
  assert.deepEqual(offer({}, { stopped: "yes" }), { next: null, others: [], notYet: [] });
});

test("a test stands only where it can be done and tells something", () => {
  assert.ok(ids(offer({}, { supply: "generator" })).includes("frame-continuity"));
  assert.ok(!ids(offer({})).includes("meter"));
  assert.ok(ids(offer({}, { by: "lamps" })).includes("meter"));
  assert.ok(ids(offer({}, { "volts.h-g.skipped": "yes" })).includes("meter"));
  assert.ok(!ids(offer({}, { "meter.input": "low-impedance" })).includes("low-impedance"));
});

test("a test that was entered says so", () => {
  const { others } = offer({}, { added: ["load"], "load.done": "yes" });

  assert.deepEqual(others.find(({ id }) => id === "load"), { id: "load", isDone: true });
});
