import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { measuredEntry, problemOf, questionAbout } from "../../static/js/check/entries.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/entries.json", import.meta.url), "utf8"));

for (const { field, typed, number, problem } of CASES) {
  test(`${field} “${typed}” ${number ? `is kept as ${number}` : "gets a sentence"}`, () => {
    if (problem) assert.equal(problemOf(field, typed), problem);
    else assert.equal(measuredEntry(field, typed).split(" ")[0], number);
  });
}

test("a text that is too long gets a sentence", () => {
  assert.match(problemOf("place.park", "x".repeat(121)), /Keep it to 120 characters/);
  assert.equal(problemOf("place.park", "x".repeat(120)), null);
});

test("a likely slip is asked about, never refused", () => {
  assert.match(questionAbout("volts.h-n", "12.0"), /120/);
  assert.equal(problemOf("volts.h-n", "12.0"), null);
  assert.match(questionAbout("volts.n-g", "118"), /Are the tips in these two contacts/);
  assert.match(questionAbout("volts.h-n", "1213"), /121\.3/);
  assert.match(questionAbout("breaker_amps", "3"), /15, 20, 30 or 50/);
});

test("an ordinary reading raises no question", () => {
  for (const typed of ["", "108.2", "121,3", "126"]) assert.equal(questionAbout("volts.h-n", typed), null);
  assert.equal(questionAbout("volts.n-g", "0.4"), null);
});
