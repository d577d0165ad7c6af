import assert from "node:assert/strict";
import test from "node:test";

import { NEUTRAL_SHARE } from "../../static/js/engine/legs.js";
import { gapOf } from "../../static/js/planner/gap.js";
import { TABLES } from "./tables-of-plans.mjs";

const PLANNED = {
  open: "120 V",
  loop_ohms: 0.2,
  loop_spread: 0.05,
  cords: [{ awg: 10, feet: 25 }],
  cord_ohms: 0.082,
  planned: { volts: "117.2 V", amps: "10 A" },
};
const gap = (volts, amps, outlet = null) => gapOf({ ...PLANNED, read: { volts, amps, outlet } });

test("a reading within the plan's own spread and a volt is as planned", () => {
  // 10 A through 0.282 ohm: 117.18 V; 0.05 ohm and 1 V of doubt are 1.5 V.
  assert.equal(gap("117.2 V", "10 A").level, "as-planned");
  assert.equal(gap("115.8 V", "10 A").level, "as-planned");
  assert.equal(gap("115.6 V", "10 A").level, "more");
  assert.equal(gap("118.8 V", "10 A").level, "less");
});

test("a gap names the cord or what is before the outlet, and asks for the outlet where nothing tells which", () => {
  assert.match(gap("110 V", "10 A").says, /Read the outlet too/);
  const cord = gap("110 V", "10 A", "118 V").says; // 0.8 ohm behind the outlet where 0.082 was planned
  assert.match(cord, /behind the outlet: the 10 AWG cord of 25 ft/);
  assert.doesNotMatch(cord, /before the outlet/);
  assert.match(gap("110 V", "10 A", "110.8 V").says, /before the outlet: the joints of the site/);
  assert.match(gap("110 V", "10 A").says, /71\.8 W/); // (1 - 0.282) ohm at 10 A
});

test("what no meter can tell is not told", () => {
  assert.equal(gap("119 V", "0.5 A").level, "cannot-tell");
  assert.equal(gapOf({ ...PLANNED, read: null }).level, "cannot-tell");
});

// 21.6 A on X and 11.3 A on Y through 0.141 ohm in each wire: 120 - 3.05 - 1.45 and 119 - 1.59 + 1.45 V.
const ON_BOTH = {
  ...PLANNED,
  planned: { volts: "115.5 V", amps: "21.6 A" },
  read: null,
  second: { open: "119 V", between: "239 V", planned: { volts: "118.9 V", amps: "11.3 A" }, read: null },
};
const read = (volts, amps, outlet = null) => ({ volts: `${volts} V`, amps: `${amps} A`, outlet });
const gapOn = (x, y, more = {}) => {
  const second = { ...ON_BOTH.second, read: y, ...more };
  return gapOf({ ...ON_BOTH, read: x, second });
};

test("on two legs readings of the planned amps, and of others, are as planned by Kirchhoff", () => {
  assert.equal(gapOn(read(115.5, 21.6), read(118.9, 11.3)).level, "as-planned");
  // 10 A on each: the neutral carries nothing, and 1.41 V are lost in each hot.
  assert.equal(gapOn(read(118.6, 10), read(117.6, 10)).level, "as-planned");
  assert.equal(gapOn(read(115.5, 10), read(117.6, 10)).level, "more");
  // Nothing on X and 20 A on Y: 2.82 V in the neutral lift X, and lower Y together with its own hot.
  assert.equal(gapOn(read(122.8, 0), read(113.4, 20)).level, "as-planned");
  assert.equal(gapOn(read(122, 21.6), read(122, 11.3)).level, "less");
});

test("between two of three phases the neutral takes half of what it loses from the other leg", () => {
  // 10 A on each: 10 A in the neutral, half of its 1.41 V in line with each leg: 2.1 V lost. Then 20 A on X alone:
  // 5.64 V lost there, and half of the neutral's 2.82 V on top of Y.
  const second = { ...ON_BOTH.second, between: "207 V", planned: { volts: "116.9 V", amps: "10 A" } };
  const planned = { volts: "117.9 V", amps: "10 A" };
  const body = { ...ON_BOTH, planned, read: read(114.4, 20), second: { ...second, read: read(120.4, 0) } };
  assert.match(gapOf(body).says, /^Leg X is 0 V .* Leg Y is 0(\.1)? V .* That is as planned\./);
});

test("one leg that sank while the other rose points to the neutral, with its ohms and watts", () => {
  // (4.0 + 3.94) V / (2 · 10.3 A): 0.386 ohm more in the neutral, whose 10.3 A warm the joint with 40.9 W.
  const { level, says } = gapOn(read(111.5, 21.6), read(122.8, 11.3));
  assert.equal(level, "more");
  assert.match(says, /that is the neutral \(0\.39 Ω more, 40\.9 W\)/);
});

test("one leg that sank alone is its hot, before or behind the outlet, and the other leg is asked for", () => {
  const behind = gapOn(read(111.5, 21.6, "118 V"), read(118.9, 11.3));
  assert.match(behind.says, /Leg X is 4 V below .* It lies behind the outlet: the 10 AWG cord of 25 ft/);
  assert.doesNotMatch(behind.says, /before the outlet|neutral/);
  assert.match(gapOn(read(111.5, 21.6, "112.8 V"), read(118.9, 11.3)).says, /It lies before the outlet/);
  assert.match(gapOn(null, read(110, 11.3)).says, /Read the other leg too/);
  assert.match(gapOn(null, read(110, 11.3)).says, /Read the outlet too/);
});

test("two legs with next to nothing on, or not read, tell nothing", () => {
  assert.equal(gapOn(read(119, 0.5), read(118, 0.4)).level, "cannot-tell");
  assert.equal(gapOn(null, null).level, "cannot-tell");
});

test("the neutral's share of the loop is that of the tables", () => {
  assert.equal(NEUTRAL_SHARE, TABLES["neutral-share"].value);
});
