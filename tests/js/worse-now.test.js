import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { isWorse } from "../../static/js/check/worse-now.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/judged-again.json", import.meta.url), "utf8"));

test("what stood as usable and is judged worse now is told, whatever else differs is not", () => {
  for (const { said, now, is_worse: expected } of CASES) assert.equal(isWorse(said, now), expected, `${said}, ${now}`);
});
