import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { dueOf } from "../../static/js/rig/due.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";

const read = (name) => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8"));
const RULES = read("../../schemas/facts/due.json").entries;
const INCIDENTS = read("../../schemas/facts/incidents.json").entries;
const { bodies, cases } = read("../cases/due-rows.json");

function row(
  { kind, id, day = "2026-09-01", at = `${day}T10:00:00.000+00:00`, subject = null, corrects = null, body },
  seq,
) {
  return {
    id,
    seq,
    record: { id, kind, rig: "rig", subject, observed_at: at, corrects, body: { ...bodies[kind], ...body } },
  };
}

for (const { about, today, records, due } of cases) {
  test(about, () => {
    const [rig] = rigsOf(records.map(row));
    const found = dueOf(rig, RULES, today, INCIDENTS);

    assert.deepEqual(
      found.map(({ thing, rule, next, standing }) => [thing.what, thing.subject, rule, next, standing]),
      due,
    );
  });
}

test("each rig has its own things", () => {
  const other = { kind: "rig", id: "other" };
  const rows = [row({ kind: "rig", id: "rig" }, 1), row(other, 2), row({ kind: "device", id: "d" }, 3)];
  rows[1].record.rig = "other";

  assert.deepEqual(
    rigsOf(rows).map(({ devices }) => devices.length),
    [1, 0],
  );
});
