import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { endLines } from "../../static/js/rig/ends.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/ends.json", import.meta.url), "utf8"));

for (const { about, today, ends, lines } of CASES)
  test(`ends: ${about}`, () => {
    assert.deepEqual(endLines(ends, today), lines);
  });
