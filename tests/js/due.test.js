import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { due, monthAfter } from "../../static/js/lib/due.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/due.json", import.meta.url), "utf8"));

for (const { last, next } of CASES) {
  test(`a test on ${last} is due again on ${next}`, () => assert.equal(monthAfter(last), next));
}

test("a device that was never tested is due", () => {
  assert.deepEqual(due(null, "2026-11-25"), { last: null, next: null, state: "never" });
});

test("the day itself is due, the day after it overdue, the day before it later", () => {
  const states = ["2026-11-19", "2026-11-20", "2026-11-21"].map((today) => due("2026-10-20", today).state);

  assert.deepEqual(states, ["later", "today", "overdue"]);
});
