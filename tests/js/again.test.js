import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { doneTests, openTest } from "../../static/js/check/added.js";
import { againMarkup, againTitle, doubtOf } from "../../static/js/check/again.js";
import { offerOf } from "../../static/js/check/offer.js";
import { checkOf } from "../../static/js/check/record.js";
import { assess } from "../../static/js/engine/assess.js";

const RULEBOOK = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const READ_AGAIN = { verdict: "test-more", next_test: { id: "read-again", pairs: ["h-g"], separates: [] } };
const volts = (...shown) => Object.fromEntries(["h-n", "h-g", "n-g"].map((pair, i) => [pair, `${shown[i]} V`]));
const inNumbers = (read) => Object.fromEntries(Object.entries(read).map(([pair, text]) => [pair, parseFloat(text)]));
const judged = (read, outlet = "TT-30") => assess({ outlet, look: [], volts: inNumbers(read) }, RULEBOOK);
const isRightAt = (outlet) => (read) => {
  const { verdict, faults } = judged(read, outlet);
  return verdict.startsWith("use") && faults[0].id === "correct";
};
const doubt = (read, answer = judged(read), more = undefined) =>
  doubtOf({ outlet: "TT-30", volts: read, more }, answer, isRightAt("TT-30"));

test("a lost point is offered for the pair that cannot belong to the outlet, and for no other", () => {
  assert.deepEqual(doubt(volts(121, 12.1, 0.4), READ_AGAIN), {
    pairs: ["h-g"],
    points: [{ pair: "h-g", volts: "121" }],
    order: null,
  });
  assert.deepEqual(doubt(volts(121, 1.2, 0.4), READ_AGAIN).points, [{ pair: "h-g", volts: "120" }]);
  assert.deepEqual(doubt(volts(121, 77, 0.4), READ_AGAIN).points, []);
});

test("readings one box off, or two exchanged, are asked about; a reversed outlet is never relabelled", () => {
  for (const read of [volts(0.4, 121, 120.6), volts(120.6, 0.4, 121), volts(121, 0.4, 120.6)]) {
    const found = doubt(read);
    assert.deepEqual(found.pairs, ["h-n", "h-g", "n-g"]);
    assert.equal(found.order["n-g"], "0.4 V");
    const { text } = againMarkup(found, read);
    assert.doesNotMatch(text, /<button/);
    assert.match(text, /only reading again tells/);
  }
});

test("right wiring, and what no other order would make right, is not asked about", () => {
  assert.equal(doubt(volts(121.3, 121, 0.4)), null);
  assert.equal(doubt(volts(121, 60.4, 60.8)), null);
  assert.equal(doubt(volts(102, 102, 0.3)), null);
  assert.equal(
    doubtOf({ outlet: "TT-30", look: ["burned"] }, { verdict: "do-not-use", next_test: null }, () => true),
    null,
  );
});

test("another order is asked about once, not after the readings were made again", () => {
  const read = volts(121, 0.4, 120.6);

  assert.equal(doubt(read, judged(read), [{ volts: read }]), null);
});

test("at an outlet with two legs two exchanged readings are asked about", () => {
  const read = {
    "x-y": "120.4 V",
    "x-n": "241 V",
    "y-n": "120.6 V",
    "x-g": "120.4 V",
    "y-g": "120.5 V",
    "n-g": "0.3 V",
  };
  const isRight = ({ "x-y": legs, "x-n": one }) => legs === "241 V" && one === "120.4 V";
  const found = doubtOf({ outlet: "14-50", volts: read }, { verdict: "do-not-use", next_test: null }, isRight);

  assert.deepEqual(found.pairs, Object.keys(read));
  assert.equal(found.order["y-n"], "120.6 V");
});

test("a likely slip is a choice that says what it changes", () => {
  const { text } = againMarkup(doubt(volts(121, 12.1, 0.4), READ_AGAIN), volts(121, 12.1, 0.4));

  assert.match(text, /data-says="volts\.h-g=121 read-again\.done=no"/);
  assert.match(text, /these cannot all belong to one outlet/);
  assert.equal(againTitle(["h-n"]), "Read hot to neutral again");
});

const VALUES = { outlet: "TT-30", by: "meter", looked: "yes", look: [] };
Object.assign(VALUES, { "volts.h-n": "121", "volts.h-g": "12.1", "volts.n-g": "0.4", "again.pairs": "h-g" });

test("a pair that is read again is a further set, and the first reading stays", () => {
  const values = { ...VALUES };
  assert.equal(openTest(values, "read-again"), "read-again");
  assert.deepEqual([values["again.ask.h-g"], values["again.ask.h-n"]], ["yes", "no"]);
  Object.assign(values, { "again.volts.h-g": "120,8", "read-again.done": "yes" });
  const check = checkOf(values, "pedestal");

  assert.equal(check.volts["h-g"], "12.1 V");
  assert.deepEqual(check.more, [
    {
      state: "as-found",
      meter: { input: "high-impedance", accuracy_percent: "1.0 %", accuracy_volts: "0.3 V" },
      volts: { "h-g": "120.8 V" },
    },
  ]);
});

test("a pair that is read once more is one set more", () => {
  const values = { ...VALUES, added: ["read-again"], "again.volts.h-g": "120.8", "read-again.done": "yes" };
  openTest(values, "read-again");
  assert.equal(values["again.volts.h-g"], "");
  Object.assign(values, { "again.volts.h-g": "120.9" });

  assert.deepEqual(
    checkOf(values, "pedestal").more.map((set) => set.volts["h-g"]),
    ["120.8 V", "120.9 V"],
  );
  assert.deepEqual(doneTests(values), ["read-again"]);
});

test("to read again is the way on from the verdict wherever it is proposed", () => {
  const answer = { ...READ_AGAIN, faults: [{ id: "other", probability: 1 }], not_ruled_out: [], findings: [] };

  assert.equal(offerOf(answer, RULEBOOK, VALUES, "pedestal").next, "read-again");
});
