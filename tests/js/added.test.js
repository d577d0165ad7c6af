import assert from "node:assert/strict";
import test from "node:test";

import { doneTests, forgetReadings, noteDone, openTest, testOf } from "../../static/js/check/added.js";
import { checkBody, checkOf } from "../../static/js/check/record.js";

const METER = { input: "high-impedance", accuracy_percent: "1.0 %", accuracy_volts: "0.3 V" };
const VALUES = {
  outlet: "TT-30",
  looked: "yes",
  look: [],
  by: "meter",
  "volts.h-n": "121.3",
  "volts.h-g": "121.0",
  "volts.n-g": "0.4",
};
const LEGS = {
  outlet: "14-50",
  looked: "yes",
  look: [],
  by: "meter",
  "volts.x-y": "241",
  "volts.x-n": "120.4",
  "volts.y-n": "120.6",
  "volts.n-g": "0.3",
};
const added = (further, typed, values = VALUES) =>
  checkOf({ ...values, added: [further], [`${further}.done`]: "yes", ...typed }, "pedestal");

test("a detector's answer is what it told at the ground contact", () => {
  assert.deepEqual(added("detector", { "near.g": "no" }).near, { g: false });
  assert.deepEqual(added("detector", { "near.g": "yes" }).near, { g: true });
});

test("a test that was opened and left is no part of the check", () => {
  const left = checkOf({ ...VALUES, added: ["detector"], "near.g": "yes" }, "pedestal");

  assert.deepEqual(Object.keys(left).sort(), ["look", "meter", "outlet", "supply", "volts", "where"]);
});

test("a second meter's readings are a further set, as exact as the first unless told otherwise", () => {
  const typed = {
    "low-impedance.volts.h-n": "121.0",
    "low-impedance.volts.n-g": "",
    "low-impedance.accuracy_percent": "2",
  };

  assert.deepEqual(added("low-impedance", typed).more, [
    {
      state: "as-found",
      meter: { ...METER, input: "low-impedance", accuracy_percent: "2 %" },
      volts: { "h-n": "121.0 V" },
    },
  ]);
});

test("volts to an earth stand beside those that the same meter read", () => {
  const check = added("earth", { "volts.h-e": "121", "volts.g-e": "0.6" });

  assert.deepEqual(check.volts, { "h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V", "h-e": "121 V", "g-e": "0.6 V" });
  assert.equal(check.more, undefined);
});

test("an earth is never read with the low-impedance meter of the check, so it makes a set of its own", () => {
  const check = added("earth", { "meter.input": "low-impedance", "volts.g-e": "0.6" });

  assert.deepEqual(Object.keys(check.volts), ["h-n", "h-g", "n-g"]);
  assert.deepEqual(check.more, [{ state: "as-found", meter: METER, volts: { "g-e": "0.6 V" } }]);
});

test("after lamps alone an earth is read with a high-impedance meter, whichever was remembered", () => {
  const check = added("earth", { by: "lamps", "lamps.h-n": "lit", "meter.input": "low-impedance", "volts.g-e": "0.6" });

  assert.deepEqual([check.volts, check.meter.input], [{ "g-e": "0.6 V" }, "high-impedance"]);
});

test("a load is recorded with its amps and the volts beside it", () => {
  const check = added("load", { "loaded.amps": "9,8", "loaded.volts.h-n": "117.2", "loaded.volts.n-g": "2.1" });

  assert.deepEqual(check.loaded, { amps: "9.8 A", volts: { "h-n": "117.2 V", "n-g": "2.1 V" } });
});

test("with two legs a load says which pair it hangs across", () => {
  const check = added("load", { "loaded.across": "y-n", "loaded.amps": "10", "loaded.volts.y-n": "117" }, LEGS);

  assert.equal(check.loaded.across, "y-n");
});

test("readings with everything else unplugged are a set in that state, by meter or by lamps", () => {
  const typed = { "unplugged.volts.h-n": "0.2", "unplugged.lamps.h-n": "dark" };

  assert.deepEqual(added("unplug-others", { ...typed, "unplugged.by": "meter" }).more, [
    { state: "unplugged", meter: { ...METER }, volts: { "h-n": "0.2 V" } },
  ]);
  assert.deepEqual(added("unplug-others", { ...typed, "unplugged.by": "lamps" }).more, [
    { state: "unplugged", lamps: { "h-n": "dark" } },
  ]);
});

test("continuity is open or closed", () => {
  assert.deepEqual(added("frame-continuity", { "continuity.g-frame": "closed" }).continuity, { "g-frame": "closed" });
  for (const further of ["neutral-continuity", "rig-bond"])
    assert.deepEqual(added(further, { "continuity.n-g": "open" }).continuity, { "n-g": "open" });
});

const HELD = {
  "upstream.tripped": "yes",
  "upstream.reset": "yes",
  "upstream.held": "yes",
  "upstream.loaded.amps": "5",
  "upstream.loaded.volts.h-n": "119",
};

test("a device upstream that holds a load is a press and that load", () => {
  const check = added("upstream-hold", HELD);

  assert.deepEqual(check.trip, [{ by: "button", device: "upstream", tripped: true, reset: true }]);
  assert.deepEqual(check.loaded, { amps: "5 A", volts: { "h-n": "119 V" } });
});

test("the load that a device upstream held does not replace the one read before", () => {
  const typed = {
    added: ["load", "upstream-hold"],
    "load.done": "yes",
    "loaded.amps": "10",
    "loaded.volts.h-n": "117",
    ...HELD,
  };

  const check = added("upstream-hold", typed);

  assert.equal(check.loaded.amps, "10 A");
  assert.deepEqual(check.more, [
    { state: "as-found", meter: METER, loaded: { amps: "5 A", volts: { "h-n": "119 V" } } },
  ]);
});

test("a device upstream that trips under the load was not reset, and no load was held", () => {
  const check = added("upstream-hold", { ...HELD, "upstream.held": "no" });

  assert.deepEqual(check.trip, [{ by: "button", device: "upstream", tripped: true, reset: false }]);
  assert.equal(check.loaded, undefined);
});

test("a press upstream does not stand for the outlet's own TEST", () => {
  const body = checkBody(
    { ...VALUES, outlet: "5-20", added: ["upstream-hold"], "upstream-hold.done": "yes", ...HELD },
    { where: "pedestal", trips: true, judgement: null },
  );

  assert.ok(body.not_tested.includes("trip"));
});

test("lamps and meter can be added to a check by the other one", () => {
  const byMeter = { ...VALUES, "lamps.h-n": "lit" };
  assert.equal(checkOf(byMeter, "pedestal").lamps, undefined);
  openTest(byMeter, "lamps");
  noteDone(byMeter, "lamps");

  assert.deepEqual(checkOf(byMeter, "pedestal").lamps, { "h-n": "lit" });
  assert.deepEqual(doneTests(byMeter), ["lamps"]);
});

test("a meter opened again shows the pair that was left out", () => {
  const values = { ...VALUES, "volts.h-g.skipped": "yes" };

  assert.equal(openTest(values, "meter"), "volts.h-g");
  assert.equal(testOf("volts.h-g", values), "meter");
});

test("a test that counts keeps its place when it is opened again, one that does not comes last", () => {
  const values = { ...VALUES, added: ["load", "detector"], "load.done": "yes" };
  openTest(values, "load");
  assert.deepEqual(values.added, ["load", "detector"]);
  openTest(values, "earth");
  openTest(values, "detector");

  assert.deepEqual(values.added, ["load", "earth", "detector"]);
});

test("readings of an outlet with other contacts are forgotten, the place is not", () => {
  const values = {
    ...VALUES,
    "place.park": "Alder Bend",
    added: ["load"],
    "load.done": "yes",
    "loaded.volts.n-g": "2",
    "lamps.n-g": "dark",
  };
  forgetReadings(values);

  assert.deepEqual(
    [values["volts.n-g"], values["loaded.volts.n-g"], values["lamps.n-g"], values["load.done"]],
    ["", "", "", ""],
  );
  assert.equal(values["place.park"], "Alder Bend");
});

test("what the pair reads with the load off again stands beside what it read with it on", () => {
  const typed = { "loaded.amps": "10", "loaded.volts.h-n": "117", "loaded.after.h-n": "120,9" };

  assert.deepEqual(added("load", typed).loaded.after, { "h-n": "120.9 V" });
  assert.equal(added("load", { ...typed, "loaded.after.h-n": "" }).loaded.after, undefined);
});

test("whether a meter says True RMS counts on an inverter only", () => {
  const values = { ...VALUES, "meter.rms": "average" };

  assert.equal(checkOf({ ...values, supply: "inverter" }, "pedestal").meter.rms, "average");
  assert.equal(checkOf({ ...values, supply: "generator" }, "pedestal").meter.rms, undefined);
});

test("an adapter leads from where its plug is in to the outlet that is read", () => {
  assert.deepEqual(checkOf({ ...VALUES, via: "14-50" }, "pedestal").via, ["14-50-to-TT-30"]);
  for (const via of ["", "TT-30"]) assert.equal(checkOf({ ...VALUES, via }, "pedestal").via, undefined);
});
