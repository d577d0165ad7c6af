import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { judgedMap, tripsOf } from "../../static/js/rig/judged.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";
import { modesToAsk } from "../../static/js/round/answers.js";

const { bodies, things, cases, ...shared } = JSON.parse(
  readFileSync(new URL("../cases/rig-trips.json", import.meta.url), "utf8"),
);

function row({ kind, id, day = "2026-09-01", subject = null, corrects = null, body }, seq) {
  return {
    id,
    seq,
    record: {
      id,
      kind,
      rig: "rig",
      subject,
      observed_at: `${day}T10:00:00.000+00:00`,
      corrects,
      body: { ...bodies[kind], ...(typeof body === "string" ? shared[body] : body) },
    },
  };
}

for (const { about, records, trips, contradictions, told_both: both = [], asked = [], most } of cases) {
  test(about, () => {
    const [rig] = rigsOf([...things, ...records].map(row));
    const judged = judgedMap(rig, most);

    assert.deepEqual(
      tripsOf(rig, judged.map, most).trips.map(({ trip, test: from }) => [
        from.record.id,
        trip.device,
        trip.dead,
        trip.live,
        ...(trip.mode ? [trip.mode] : []),
      ]),
      trips,
    );
    assert.deepEqual(
      judged.contradictions.map(({ test: from, part, expected, seen }) => [from.record.id, part, expected, seen]),
      contradictions,
    );
    assert.deepEqual(
      judged.toldBoth.map(({ test: from, part }) => [from.record.id, part]),
      both,
    );
    assert.deepEqual(modesToAsk(judged.map, "d"), asked);
  });
}
