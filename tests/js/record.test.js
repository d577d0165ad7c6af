import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { record } from "../../static/js/check/log-record.js";
import { correctedCheck } from "../../static/js/check/readings.js";
import { checkBody, checkOf, notTested, plugInBody, skinOf } from "../../static/js/check/record.js";
import { stepName } from "../../static/js/lib/words.js";

const VALUES = {
  "place.park": " Alder Bend ",
  "place.site": "12",
  supply: "utility",
  outlet: "TT-30",
  breaker_amps: "30",
  looked: "yes",
  look: [],
  "ready.dry": "yes",
  "ready.meter_proved": "yes",
  "ready.category": "CAT III 300 V",
  by: "meter",
  "meter.input": "high-impedance",
  "meter.accuracy_percent": "1,0",
  "meter.accuracy_volts": "0.3",
  "volts.h-n": "121,3",
  "volts.h-g": "121.0",
  "volts.n-g": "0.4",
};
const MADE = { where: "pedestal", trips: false, judgement: { verdict: "use", rulebook: "sha256:0", first: "correct" } };

test("readings are recorded as measured values with their unit", () => {
  const check = checkOf(VALUES, "pedestal");

  assert.deepEqual(check.volts, { "h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V" });
  assert.equal(check.breaker_amps, "30 A");
  assert.deepEqual(check.meter, { input: "high-impedance", accuracy_percent: "1.0 %", accuracy_volts: "0.3 V" });
  assert.deepEqual(check.look, []);
});

test("a skipped reading is absent and listed as not tested, though its text is kept", () => {
  const body = checkBody({ ...VALUES, "volts.h-g.skipped": "yes" }, MADE);

  assert.deepEqual(Object.keys(body.check.volts), ["h-n", "n-g"]);
  assert.deepEqual(body.not_tested, ["volts.h-g"]);
});

test("not looked is not the same as nothing seen", () => {
  assert.ok(!("look" in checkOf({ ...VALUES, looked: "no" }, "pedestal")));
  assert.ok(notTested({}, { withLamp: [], trips: false, meterProved: false }).includes("look"));
});

test("a stop sign is recorded without readings typed before", () => {
  const check = checkOf({ ...VALUES, look: ["burned"], stopped: "yes" }, "pedestal");

  assert.deepEqual(check.look, ["burned"]);
  assert.ok(!("volts" in check));
});

test("lamps that were not seen are absent", () => {
  const check = checkOf(
    { ...VALUES, by: "lamps", "lamps.h-n": "lit", "lamps.h-g": "none", "lamps.n-g": "" },
    "pedestal",
  );

  assert.deepEqual(check.lamps, { "h-n": "lit" });
  assert.ok(!("volts" in check));
});

test("a device that did not trip tells nothing of its face", () => {
  const check = checkOf({ ...VALUES, "trip.tripped": "no", "trip.face_dead": "yes" }, "pedestal");

  assert.deepEqual(check.trip, [{ by: "button", device: "this", tripped: false }]);
});

test("a button that is not there is another answer than one not pressed, until it was pressed", () => {
  const none = { ...VALUES, "trip.skipped": "yes", "trip.none": "yes" };

  assert.deepEqual(checkOf(none, "pedestal").trip, []);
  assert.equal(checkOf({ ...none, "trip.none": "no" }, "pedestal").trip, undefined);
  assert.equal(checkOf({ ...none, "trip.skipped": "no", "trip.tripped": "yes" }, "pedestal").trip.length, 1);
  assert.deepEqual(correctedCheck(checkOf(none, "pedestal"), { "volts.h-n": "120.9" }).trip, []);
});

test("TEST not pressed is not tested", () => {
  const body = checkBody({ ...VALUES, "trip.tripped": "yes", "trip.skipped": "yes" }, { ...MADE, trips: true });

  assert.ok(!("trip" in body.check));
  assert.ok(body.not_tested.includes("trip"));
});

for (const { what, answers, left_out: expected } of JSON.parse(
  readFileSync(new URL("../cases/trip-left-out.json", import.meta.url), "utf8"),
)) {
  test(`of TEST and RESET, each answer that is missing is not tested: ${what}`, () => {
    const typed = Object.fromEntries(
      ["tripped", "face_dead", "reset"].map((name) => [`trip.${name}`, answers[name] ?? "none"]),
    );
    const body = checkBody({ ...VALUES, outlet: "5-20", ...typed }, { ...MADE, trips: true });

    assert.deepEqual(body.not_tested, expected);
    assert.ok(expected.every((step) => stepName(step) !== step));
  });
}

test("a test in the rig has no place", () => {
  const body = checkBody(VALUES, { ...MADE, where: "rig" });

  assert.ok(!("place" in body));
  assert.equal(body.check.where, "rig");
});

test("after plugging in, what was left out is null and not tested", () => {
  const body = plugInBody({ "skin.skipped": "yes", inside: "" }, { level: "none", rulebook: "sha256:0" });

  assert.deepEqual(body, {
    skin: null,
    inside: null,
    tingle: false,
    not_tested: ["skin", "inside"],
    judgement: { level: "none", rulebook: "sha256:0" },
  });
});

test("a silent detector, and nothing against an earth that nobody proved, stand as not tested", () => {
  const judgement = { level: "not-tested", rulebook: "sha256:0" };
  const silent = plugInBody({ "skin.by": "detector", "skin.detected": "no", inside: "119.8" }, judgement);
  assert.deepEqual([silent.skin, silent.not_tested], [{ by: "detector", detected: false }, ["skin"]]);

  const values = { supply: "utility", "skin.by": "meter", "skin.volts": "0.4", "skin.earth": "no", inside: "119.8" };
  const unproved = plugInBody(values, judgement);
  assert.deepEqual(unproved.skin, { by: "meter", volts: "0.4 V", earth_proved: false });
  assert.deepEqual(unproved.not_tested, ["skin"]);
});

test("only on a source that floats a low-impedance reading of the skin is taken", () => {
  const values = { "skin.by": "meter", "skin.volts": "48", "skin.low": "0.9", "skin.earth": "yes" };
  assert.deepEqual(skinOf({ ...values, supply: "generator" }), {
    by: "meter",
    volts: "48 V",
    low_impedance: "0.9 V",
  });
  assert.deepEqual(skinOf({ ...values, supply: "utility" }), { by: "meter", volts: "48 V", earth_proved: true });
});

test("a record has every member", () => {
  const made = record({ id: "x", kind: "instrument", observed_at: "now", body: {} });

  assert.deepEqual(Object.keys(made).sort(), [
    "body",
    "corrects",
    "id",
    "instrument",
    "kind",
    "made_by",
    "observed_at",
    "reason",
    "rig",
    "subject",
  ]);
});

const LEGS = {
  ...VALUES,
  outlet: "14-50",
  breaker_amps: "50",
  "volts.x-y": "241",
  "volts.x-n": "120.4",
  "volts.y-n": "120.6",
  "volts.x-g": "120.4",
  "volts.y-g": "120.5",
  "volts.n-g": "0.3",
};

test("an outlet with two legs is read by its own six pairs, whatever was typed for another outlet", () => {
  const body = checkBody(LEGS, MADE);

  assert.deepEqual(Object.keys(body.check.volts), ["x-y", "x-n", "y-n", "x-g", "y-g", "n-g"]);
  assert.deepEqual(body.not_tested, []);
});

test("of a tester with two legs only the lamps that it has are missed", () => {
  const values = {
    ...LEGS,
    by: "both",
    "lamp4.x-n.called": "left",
    "lamp4.y-n.called": "right",
    "lamps.x-n": "lit",
    "lamps.y-n": "none",
  };

  const body = checkBody(values, MADE);

  assert.deepEqual(body.check.lamps, { "x-n": "lit" });
  assert.deepEqual(body.not_tested, ["lamps.y-n"]);
});
