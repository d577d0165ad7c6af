import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { reasonOf } from "../../static/js/check/reason.js";
import { leftOpen, madeIn } from "../../static/js/check/settling.js";

const cases = (name) => JSON.parse(readFileSync(new URL(`../cases/${name}.json`, import.meta.url), "utf8"));

const WORDS = {
  explanations: {
    dead: { name: "No supply" },
    "open-ground": { name: "Open ground" },
    other: { name: "Something else", sentence: "Nothing fits, or one of them is wrong." },
  },
  findings: {
    low: { sentence: "It is low. Motors suffer." },
    high: { sentence: "It is high. Heaters suffer." },
    burned: { sentence: "Burn marks: it was hot." },
  },
  quantities: { "h-n": { label: "hot–neutral", unit: "V" }, "g-e": { label: "ground–earth", unit: "V" } },
};

for (const { what, answer, not_tested: notTested, reason } of cases("reasons"))
  test(what, () => {
    assert.equal(reasonOf(answer, { words: WORDS, outlets: {} }, { outlet: "TT-30", notTested }), reason);
  });

const ANYWHERE = { supplies: ["utility"], places: ["pedestal", "rig"], dangerous_under: [] };
const TESTS = [
  {
    ...ANYWHERE,
    id: "earth",
    separates: [
      [0, 1, 100],
      [0, 2, 89],
      [0, 4, 66],
    ],
  },
  {
    ...ANYWHERE,
    id: "meter",
    separates: [
      [0, 1, 66],
      [0, 3, 100],
    ],
  },
  { ...ANYWHERE, id: "upstream", places: ["pedestal"], dangerous_under: ["deadly"], separates: [[0, 2, 90]] },
];
const WIRINGS = ["correct", "deadly", "swapped", "open", "bonded"].map((id) => ({ id }));

for (const { what, faults, not_ruled_out, findings = [], made, where, left, by, was_made: wasMade } of cases(
  "settling",
))
  test(what, () => {
    const answer = {
      not_ruled_out,
      faults: faults.map(([id, probability]) => ({ id, probability })),
      findings: findings.map((id) => ({ id })),
    };

    assert.deepEqual(leftOpen(answer, { tests: TESTS, wirings: WIRINGS }, { where, made }), { left, by, wasMade });
  });

test("readings to an earth, under load and by a low-impedance meter are tests that were made", () => {
  const check = {
    volts: { "h-n": "121 V", "h-e": "120 V" },
    more: [{ meter: { input: "low-impedance" }, volts: { "h-n": "121 V" } }, { loaded: { amps: "10 A" } }],
    near: { g: false },
  };

  assert.deepEqual(madeIn(check).sort(), ["detector", "earth", "load", "low-impedance", "meter"]);
  assert.deepEqual(madeIn({ lamps: { "h-n": "lit" } }), ["lamps"]);
});
