import assert from "node:assert/strict";
import test from "node:test";

import { judge, judgementOf, letsPlugIn } from "../../static/js/check/judge.js";

const RULEBOOK = { id: "sha256:0", words: { verdicts: { use: {}, "do-not-use": {} } } };
const CHECK = () => ({ outlet: "TT-30", volts: { "h-n": "121.3 V" } });
const quietly = (work) => {
  const { error } = console;
  console.error = () => null;
  try {
    return work();
  } finally {
    console.error = error;
  }
};

test("an answer of the engine is handed on", () => {
  const judged = judge(CHECK, RULEBOOK, (input) => ({
    verdict: "use",
    rulebook: "sha256:0",
    faults: [],
    volts: input.volts,
  }));

  assert.deepEqual(judged.answer.volts, { "h-n": 121.3 });
  assert.ok(letsPlugIn(judged));
  assert.deepEqual(judgementOf(judged.answer), { verdict: "use", rulebook: "sha256:0", first: null });
});

const FAILING = {
  "the engine throws": [
    CHECK,
    RULEBOOK,
    () => {
      throw new Error("broken");
    },
  ],
  "there is no rulebook": [CHECK, null, () => ({ verdict: "use", rulebook: "sha256:0" })],
  "the verdict is unknown": [CHECK, RULEBOOK, () => ({ verdict: "fine", rulebook: "sha256:0" })],
  "the answer is by another rulebook": [CHECK, RULEBOOK, () => ({ verdict: "use", rulebook: "sha256:1" })],
  "the check cannot be read": [
    () => {
      throw new Error("no number");
    },
    RULEBOOK,
    () => ({ verdict: "use", rulebook: "sha256:0" }),
  ],
  "the rulebook has no words": [CHECK, { id: "sha256:0" }, () => ({ verdict: "use", rulebook: "sha256:0" })],
};

for (const [name, given] of Object.entries(FAILING)) {
  test(`there is no verdict where ${name}`, () => {
    const judged = quietly(() => judge(...given));

    assert.equal(judged.answer, undefined);
    assert.match(judged.failure, /Do not use the outlet on the basis of this check/);
    assert.ok(!letsPlugIn(judged));
  });
}
