import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { found } from "../../static/js/phone/find.js";
import { finds } from "../../static/js/phone/query.js";

const read = (name) => JSON.parse(readFileSync(new URL(`../cases/${name}`, import.meta.url), "utf8"));
const [RECORD, FLAGS] = [
  read("queried-record.json"),
  [{ flag: "clock-differs", detail: "The phone’s clock was off." }],
];
const EMPTY = { words: "", kind: "", verdict: "", first: "", last: "", flag: "", rig: "" };

for (const { what, query, found: expected } of read("queries.json"))
  test(`found by ${what}`, () => {
    assert.equal(
      finds({ record: RECORD, flags: FLAGS }, ["Galley", "Arrival check"], { ...EMPTY, ...query }),
      expected,
    );
  });

test("of a chain of corrections what counts is found, newest first", () => {
  const row = (id, observedAt, more) => ({
    id,
    flags: [],
    record: { ...RECORD, id, observed_at: observedAt, corrects: null, ...more },
  });
  const rows = [
    row("a", "2026-05-31T10:00:00.000-06:00"),
    row("b", "2026-06-02T10:00:00.000Z"),
    row("c", "2026-06-01T10:00:00.000Z", { corrects: "a", reason: "said so" }),
  ];

  assert.deepEqual(
    found(rows, EMPTY).map(({ id }) => id),
    ["b", "c"],
  );
});
