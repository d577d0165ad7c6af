import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { checkInput, measured } from "../../static/js/lib/measured.js";

const { cases, not_measured: notMeasured } = JSON.parse(
  readFileSync(new URL("../cases/measured.json", import.meta.url), "utf8"),
);

for (const { name, check, input } of cases) {
  test(`the measured values become numbers: ${name}`, () => assert.deepEqual(checkInput(check), input));
}

test("what is no number with its unit is refused", () => {
  for (const text of notMeasured) assert.throws(() => measured(text, "V"), undefined, text);
});
