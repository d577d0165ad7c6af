import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { changeState, isGood, keyOf, listed, standingBy, statesOf, stepsOf } from "../../static/js/engine/proving.js";

const read = (name) => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8"));
const RULES = read("../../schemas/facts/proving.json").entries;

function proof(text) {
  const [rule, part, ...rest] = text.split("|");
  const outcome = rest.at(-1);
  return {
    step: { rule, part: part || null, pair: rest.length === 2 ? rest[0] : null },
    outcome: outcome === "skipped" ? null : outcome,
  };
}

const known = read("../cases/proving.json");
const proofsOf = (texts) =>
  texts.flatMap((text) => (text in known.proofs ? proofsOf(known.proofs[text]) : [proof(text)]));

for (const { about, list = "2026-11-25", proofs, state, states, touched, steps: wanted } of known.cases) {
  test(about, () => {
    const rules = listed(RULES, list);
    const steps = stepsOf({ ...known.touched, ...touched }, rules);
    const found = statesOf(steps, proofsOf(proofs), rules);

    if (wanted) assert.deepEqual(steps.map(keyOf), wanted);
    assert.equal(changeState(found), state);
    assert.deepEqual(Object.fromEntries(Object.keys(states).map((key) => [key, found.get(key)])), states);
  });
}

for (const { about, proofs, list, state } of known.lists) {
  test(about, () => {
    const dated = proofs.flatMap(([day, texts]) => proofsOf(texts).map((each) => ({ ...each, day })));
    const standing = standingBy(known.touched, dated, RULES);
    const { isNewest } = standing;
    assert.deepEqual([standing.day, isNewest, standing.state], [list, list === "2026-11-30", state]);
  });
}

test("a value at the border is on the side that the table says", () => {
  const rule = (id) => RULES.find((each) => each.id === id);

  assert.deepEqual([isGood(rule("no-volts"), 4.9), isGood(rule("no-volts"), 5)], [true, false]);
  for (const id of ["hot-ground-apart", "neutral-ground-apart"])
    assert.deepEqual([isGood(rule(id), 1), isGood(rule(id), 0.99)], [true, false]);
  for (const id of ["skin-plugged", "skin-main", "skin-branches", "skin-tested"])
    assert.deepEqual([isGood(rule(id), 4.9), isGood(rule(id), 5)], [true, false]);
  assert.deepEqual([isGood(rule("neutral-isolated"), 0.1), isGood(rule("neutral-isolated"), 0.09)], [true, false]);
});
