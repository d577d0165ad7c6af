import assert from "node:assert/strict";
import test from "node:test";

import { correctedBody, entryOf } from "../../static/js/check/correction.js";
import { groupsOf } from "../../static/js/check/readings.js";

const METER = { input: "high-impedance", accuracy_percent: "1.0 %", accuracy_volts: "0.3 V" };
const READY = { dry: true, meter_proved: true, category: "CAT III 300 V" };
const body = (check, not_tested = []) => ({
  place: { park: "Alder Bend", site: "12" },
  check: { supply: "utility", where: "pedestal", look: [], ...check },
  ready: READY,
  not_tested,
  judgement: null,
});

const EVERYTHING = body({
  outlet: "14-50",
  breaker_amps: "50 A",
  hertz: "60.0 Hz",
  meter: METER,
  volts: {
    "x-y": "241 V",
    "x-n": "120.4 V",
    "y-n": "120.6 V",
    "x-g": "120.4 V",
    "y-g": "120.5 V",
    "n-g": "0.3 V",
    "g-e": "0.5 V",
  },
  lamps: { "x-n": "lit" },
  loaded: { across: "x-n", amps: "10 A", amps_percent: "3 %", volts: { "x-n": "117 V", "n-g": "1.9 V" } },
  more: [
    { state: "as-found", meter: { ...METER, input: "low-impedance" }, volts: { "x-n": "120 V" } },
    { state: "breaker-off", lamps: { "x-n": "dark" } },
  ],
  continuity: { "n-g": "open" },
  near: { g: false },
  trip: [{ by: "button", device: "upstream", tripped: true, reset: true }],
});

test("what a record says fills the form of its correction and comes out the same", () => {
  assert.deepEqual(correctedBody(EVERYTHING, entryOf(EVERYTHING)).check, EVERYTHING.check);
});

test("every reading of a check is offered", () => {
  const names = groupsOf(EVERYTHING.check).flatMap(({ readings }) => readings.map(({ name }) => name));
  const leaves = (members, at = "") =>
    members !== null && typeof members === "object"
      ? Object.entries(members).flatMap(([name, inner]) => leaves(inner, `${at}.${name}`))
      : [at.slice(1)];
  const notReadings = [
    "outlet",
    "supply",
    "where",
    "breaker_amps",
    "more.0.state",
    "more.1.state",
    "trip.0.by",
    "trip.0.device",
  ];
  const read = leaves(EVERYTHING.check).filter((name) => !notReadings.includes(name));

  assert.deepEqual(
    read.filter((name) => !names.includes(name)),
    [],
  );
});

test("a pair that was not read can be typed in a correction, and is no longer left out", () => {
  const kept = body({ outlet: "TT-30", meter: METER, volts: { "h-n": "121 V" } }, ["volts.h-g", "volts.n-g"]);

  const corrected = correctedBody(kept, { ...entryOf(kept), "volts.h-g": "120,8" });

  assert.deepEqual(corrected.check.volts, { "h-n": "121 V", "h-g": "120.8 V" });
  assert.deepEqual(corrected.not_tested, ["volts.n-g"]);
});

test("a set whose readings are all emptied is absent, the other sets stay", () => {
  const typed = {
    ...entryOf(EVERYTHING),
    "more.0.volts.x-n": "",
    "loaded.amps": "",
    "near.g": "",
    "trip.0.tripped": "",
    "trip.0.reset": "",
  };

  const { check } = correctedBody(EVERYTHING, typed);

  assert.deepEqual(check.more, [{ state: "breaker-off", lamps: { "x-n": "dark" } }]);
  for (const member of ["loaded", "near", "trip"]) assert.ok(!(member in check), member);
});

test("readings of a load are corrected one by one", () => {
  const { check } = correctedBody(EVERYTHING, {
    ...entryOf(EVERYTHING),
    "loaded.amps": "12,5",
    "loaded.across": "y-n",
    "loaded.volts.n-g": "",
  });

  assert.deepEqual(check.loaded, { across: "y-n", amps: "12.5 A", amps_percent: "3 %", volts: { "x-n": "117 V" } });
});

test("without volts nothing is said of the meter", () => {
  const kept = body({ outlet: "TT-30", meter: METER, volts: { "h-n": "121 V" }, lamps: { "h-n": "lit" } });

  const { check, ready } = correctedBody(kept, { ...entryOf(kept), "volts.h-n": "" });

  assert.ok(!("meter" in check));
  assert.deepEqual(ready, { dry: true, meter_proved: false, category: null });
});

test("a set of volts to an earth is not asked for other pairs", () => {
  const kept = body({
    outlet: "TT-30",
    look: [],
    more: [{ state: "as-found", meter: METER, volts: { "g-e": "0.5 V" } }],
  });
  const names = groupsOf(kept.check).flatMap(({ readings }) => readings.map(({ name }) => name));

  assert.ok(names.includes("more.0.volts.g-e"));
  assert.ok(!names.includes("more.0.volts.h-n"));
});
