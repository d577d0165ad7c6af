import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { daysAfter, monthsAfter } from "../../static/js/lib/due.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/due.json", import.meta.url), "utf8"));

for (const { last, months, day } of CASES.months) {
  test(`a test on ${last} is due again on ${day}, by ${months}`, () => assert.equal(monthsAfter(last, months), day));
}

for (const { day, days, later } of CASES.days) {
  test(`${day} and ${days} days are ${later}`, () => assert.equal(daysAfter(day, days), later));
}
