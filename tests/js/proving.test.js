import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { changeState, isGood, statesOf, stepsOf } from "../../static/js/engine/proving.js";

const read = (name) => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8"));
const RULES = read("../../schemas/facts/proving.json").entries;

function proof(text) {
  const [rule, part, ...rest] = text.split("|");
  const outcome = rest.at(-1);
  return { step: { rule, part: part || null, pair: rest.length === 2 ? rest[0] : null }, outcome: outcome === "skipped" ? null : outcome };
}

for (const { about, proofs, state, states, sources = [] } of read("../cases/proving.json")) {
  test(about, () => {
    const steps = stepsOf({ outlets: [["o", ["h-n", "h-g", "n-g"]]], devices: ["d"], sources }, RULES);
    const found = statesOf(steps, proofs.map(proof), RULES);

    assert.equal(changeState(found), state);
    assert.deepEqual(Object.fromEntries(Object.keys(states).map((key) => [key, found.get(key)])), states);
  });
}

test("a value at the border is on the side that the table says", () => {
  const rule = (id) => RULES.find((each) => each.id === id);

  assert.deepEqual([isGood(rule("no-volts"), 4.9), isGood(rule("no-volts"), 5)], [true, false]);
  assert.deepEqual([isGood(rule("neutral-isolated"), 0.1), isGood(rule("neutral-isolated"), 0.09)], [true, false]);
});
