// Answers what the phone says of one rig a line, told by its records: what guards what, and where trips contradict it.
//   node tests/js/judged.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { dayOf } from "../../static/js/lib/times.js";
import { judgedMap, tripsOf } from "../../static/js/rig/judged.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";

function answer(records) {
  const [rig] = rigsOf(records.map((record, at) => ({ id: record.id, seq: at + 1, record })));
  const { map, modes, contradictions, toldBoth } = judgedMap(rig);
  const trips = tripsOf(rig, map).trips;
  return {
    map,
    outlets: Object.fromEntries(rig.outlets.map(({ id, body }) => [id, body.name])),
    trips: trips.map(({ trip }) => trip),
    days: trips.map(({ test }) => dayOf(test.record.observed_at)),
    modes: Object.fromEntries(
      Object.entries(modes).map(([mode, { guards, unprotected, disproved }]) => [
        mode,
        { guards, unprotected, disproved: daysOf(disproved, guards) },
      ]),
    ),
    contradictions: contradictions.map(({ part, trip, expected, seen, test }) => [
      part,
      trip.device,
      expected,
      seen,
      dayOf(test.record.observed_at),
    ]),
    told_both: toldBoth.length,
  };
}

/** By outlet, the guards that a trip test disproved, each with its day. */
const daysOf = (disproved, guards) =>
  Object.fromEntries(
    Object.entries(disproved)
      .filter(([part]) => part in guards)
      .map(([part, each]) => [part, each.map(({ guard, test }) => [guard, dayOf(test.record.observed_at)])]),
  );

const lines = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "");
process.stdout.write(lines.map((line) => `${canonical(answer(JSON.parse(line)))}\n`).join(""));
