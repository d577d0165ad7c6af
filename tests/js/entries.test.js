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

test("a comma before three digits may stand for thousands, so it is asked about", () => {
  assert.equal(questionAbout("volts.h-n", "1,213"), "Did you mean 1213 or 1.213? As it stands it is read as 1.213.");
  assert.equal(
    questionAbout("loaded.amps", "1,213 A"),
    "Did you mean 1213 or 1.213? As it stands it is read as 1.213.",
  );
  for (const typed of ["121,3", "121,34", "1.213"])
    assert.ok(!questionAbout("volts.h-n", typed)?.includes("or"), typed);
});

test("between the legs 240 and 208 V are usual", () => {
  for (const typed of ["240", "208", "247,5"]) assert.equal(questionAbout("volts.x-y", typed), null);
  assert.match(questionAbout("volts.x-y", "24.1"), /241/);
  assert.match(questionAbout("volts.x-y", "120"), /240 or 208 V are usual/);
  assert.match(questionAbout("volts.x-y", "2405"), /240\.5/);
});

test("every set of readings is typed and asked about alike", () => {
  for (const set of ["", "low-impedance.", "unplugged.", "loaded.", "upstream.loaded.", "more.0."]) {
    assert.match(questionAbout(`${set}volts.n-g`, "118"), /Are the tips in these two contacts/);
    assert.equal(measuredEntry(`${set}volts.x-n`, "119,5"), "119.5 V");
  }
  assert.equal(measuredEntry("loaded.amps", "9,8"), "9.8 A");
  assert.equal(problemOf("loaded.amps", "0"), "Type a number from 0.1 to 100 A.");
});

test("an ordinary reading raises no question", () => {
  for (const typed of ["", "108.2", "121,3", "126"]) assert.equal(questionAbout("volts.h-n", typed), null);
  assert.equal(questionAbout("volts.n-g", "0.4"), null);
});
