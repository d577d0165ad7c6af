import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { dueItems } from "../../static/js/lib/due-items.js";

const read = (name) => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8"));
const RULES = read("../../schemas/facts/due.json").entries;

for (const { about, things, today, chosen, season, due } of read("../cases/due-items.json")) {
  test(about, () => {
    const found = dueItems(things, RULES, today, { chosen, season });

    assert.deepEqual(
      found.map(({ thing, rule, next, standing }) => [thing.subject, rule, next, standing]),
      due,
    );
  });
}
