import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { protect } from "../../static/js/engine/protect.js";
import { inItsMode } from "../../static/js/engine/trip-modes.js";

const { cases } = JSON.parse(readFileSync(new URL("../cases/protection.json", import.meta.url), "utf8"));

function told({ guards, unprotected, stops, disproved }) {
  const guarded = Object.entries(guards).filter(([, by]) => by.length);
  const denied = Object.entries(disproved).filter(([part]) => Object.hasOwn(guards, part));
  return {
    protected_by: Object.fromEntries(guarded),
    unprotected,
    stops,
    disproved: Object.fromEntries(denied.map(([part, each]) => [part, each.map(({ guard }) => guard)])),
  };
}

for (const { name, map, modes } of cases.filter((each) => each.modes))
  test(`the phone says it too: ${name}`, () => {
    const trips = (map.trips ?? []).map((trip) => inItsMode(map, trip));
    const found = Object.entries(protect(map, trips)).map(([mode, one]) => [mode, told(one)]);

    assert.deepEqual(Object.fromEntries(found), modes);
  });
