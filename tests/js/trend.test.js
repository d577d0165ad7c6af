import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { isApart, rigPart } from "../../static/js/engine/apart.js";
import { trend } from "../../static/js/engine/trend.js";

const { cases, apart } = JSON.parse(readFileSync(new URL("../cases/trend.json", import.meta.url), "utf8"));
const reading = ([value, uncertainty]) => ({ day: 0, value, uncertainty });

for (const { about, series, says } of cases)
  test(`the phone tells of a series: ${about}`, () => {
    const found = trend(series);

    assert.deepEqual(Object.fromEntries(Object.keys(says).map((name) => [name, found[name]])), says);
  });

for (const { about, now, before, is_apart } of apart)
  test(`the phone tells whether two readings differ: ${about}`, () =>
    assert.equal(isApart(reading(now), reading(before)), is_apart));

test("the rig's part is what is left of the loop, and both errors", () =>
  assert.deepEqual(rigPart(reading([0.5, 0.0625]), reading([0.25, 0.0625])), {
    day: 0,
    value: 0.25,
    uncertainty: 0.125,
  }));
