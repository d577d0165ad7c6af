import assert from "node:assert/strict";
import test from "node:test";

import { protect } from "../../static/js/engine/protect.js";

const part = (id, kind, more = {}) => ({ id, kind, ...more });
const run = (from, to, side) => ({ from, to, ...(side ? { from_side: side } : {}) });

test("a ground-fault outlet guards its face and its load side, and not what shares its feed", () => {
  const map = {
    parts: [
      part("inlet", "inlet"),
      part("b", "breaker", { amps: 15 }),
      part("g", "gfci-receptacle"),
      part("r1", "receptacle"),
      part("r2", "receptacle"),
    ],
    runs: [run("inlet", "b"), run("b", "g"), run("g", "r1", "load"), run("g", "r2")],
  };
  const { guards, disproved, unprotected, contradictions } = protect(map, [
    { device: "g", by: "button", dead: ["g"], live: ["r1"] },
  ])[""];

  assert.deepEqual(guards, { g: ["g"], r1: [], r2: [] });
  assert.deepEqual(disproved, { r1: [{ guard: "g", trip: 0 }] });
  assert.deepEqual(unprotected, ["r1", "r2"]);
  assert.deepEqual(contradictions, [{ trip: 0, part: "r1", expected: "dead", seen: "live" }]);
});

test("what an inverter feeds goes on when a breaker before the inverter is opened", () => {
  const map = {
    parts: [
      part("inlet", "inlet"),
      part("b", "breaker", { gfci: true }),
      part("station", "inverter"),
      part("r", "receptacle"),
    ],
    runs: [run("inlet", "b"), run("b", "station"), run("station", "r")],
  };
  const { guards, contradictions } = protect(map, [{ device: "b", by: "hand", dead: [], live: ["r"] }])[""];

  assert.deepEqual([guards.r, contradictions], [[], []]);
});

test("a part that a loop feeds has no feed, and the page goes on", () => {
  const map = { parts: [part("a", "junction"), part("b", "receptacle")], runs: [run("a", "b"), run("b", "a")] };

  assert.deepEqual([...protect(map)[""].fed], []);
});
