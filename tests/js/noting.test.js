import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { noted, notedOver, notedSkip } from "../../static/js/proving/noting.js";

const TABLE = JSON.parse(readFileSync(new URL("../../schemas/facts/proving.json", import.meta.url), "utf8")).entries;
const RULES = new Map(TABLE.map((rule) => [rule.id, rule]));
const at = (rule) => ({ rule, part: "r1", pair: null });
const typed = (rule, value) => noted({ rules: RULES }, at(rule), { typed: { value } });

test("more than the meter can show is good where a least is asked for, and bad where a most is", () => {
  const found = ["ground-continuous", "neutral-isolated", "no-short"].map(
    (id) => notedOver(RULES.get(id), at(id)).body,
  );

  assert.deepEqual(
    found.map(({ outcome }) => outcome),
    ["bad", "good", "good"],
  );
  for (const { value, note } of found) assert.deepEqual([value, note.slice(0, 2)], [null, "OL"]);
});

test("what was typed is good or bad by its step, and noted with the step's unit", () => {
  const outcomes = [
    ["ground-continuous", "0.9", "good", "ohm"],
    ["ground-continuous", "1.1", "bad", "ohm"],
    ["no-short", "99", "bad", "ohm"],
    ["no-volts", "4.9", "good", "V"],
    ["no-volts", "5", "bad", "V"],
  ];
  for (const [rule, value, outcome, unit] of outcomes) {
    const { body } = typed(rule, value);
    assert.deepEqual([body.outcome, body.value, body.unit, body.step], [outcome, value, unit, rule]);
  }
});

test("what is no reading is not noted, and says so at its field", () => {
  for (const value of ["", "OL", "-1"]) {
    const { body, problems } = typed("ground-continuous", value);
    assert.equal(body, undefined, value);
    assert.ok(problems.value, value);
  }
});

test("a step that is left out says why, and has no outcome", () => {
  assert.ok(notedSkip(at("no-short"), { skip: "  " }).problems.skip);
  const { body } = notedSkip(at("no-short"), { skip: "No meter for it" });

  assert.deepEqual([body.outcome, body.value, body.note], [null, null, "No meter for it"]);
});
