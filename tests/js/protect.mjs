// Answers one map a line, with its trips: guards, what has no guard and contradictions, as canonical JSON.
//   node tests/js/protect.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { protect } from "../../static/js/engine/protect.js";
import { inItsMode } from "../../static/js/engine/trip-modes.js";

function answer({ trips, ...map }) {
  const told = ({ guards, unprotected, contradictions, stops, disproved }) => {
    const denied = Object.entries(disproved)
      .filter(([part]) => part in guards)
      .map(([part, each]) => [part, each.map(({ guard }) => guard)]);
    const guarded = Object.entries(guards).filter(([, by]) => by.length);
    return {
      protected_by: Object.fromEntries(guarded),
      unprotected,
      contradictions,
      stops,
      disproved: Object.fromEntries(denied),
    };
  };
  return Object.fromEntries(
    Object.entries(
      protect(
        map,
        trips.map((trip) => inItsMode(map, trip)),
      ),
    ).map(([mode, found]) => [mode, told(found)]),
  );
}

const lines = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "");
process.stdout.write(lines.map((line) => `${canonical(answer(JSON.parse(line)))}\n`).join(""));
