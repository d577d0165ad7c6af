import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { mapOf } from "../../static/js/rig/map-of.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";
import { touchedOf } from "../../static/js/rig/touched.js";

const { bodies, cases } = JSON.parse(readFileSync(new URL("../cases/touched.json", import.meta.url), "utf8"));

function row({ kind, id, corrects = null, also_corrects = null, body }, seq) {
  return {
    id,
    seq,
    record: {
      id,
      kind,
      rig: "rig",
      subject: null,
      observed_at: "2026-11-25T10:00:00Z",
      corrects,
      also_corrects,
      body: { ...bodies[kind], ...body },
    },
  };
}

for (const { about, records, touched } of cases) {
  test(about, () => {
    const [rig] = rigsOf(records.map(row));

    assert.deepEqual(touchedOf(rig, mapOf(rig).map, rig.newest("change")[0]), touched);
  });
}
