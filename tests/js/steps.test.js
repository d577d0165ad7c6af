import assert from "node:assert/strict";
import test from "node:test";

import { allowedStep, stepsFor } from "../../static/js/check/steps.js";

const SITUATION = { where: "pedestal", stopped: false, usable: false, trips: false };
const steps = (values, situation = {}) => stepsFor(values, { ...SITUATION, ...situation });

test("a meter asks for three pairs and no lamps", () => {
  assert.deepEqual(steps({ by: "meter" }), ["where", "outlet", "look", "ready", "by", "meter", "volts.h-n", "volts.h-g", "volts.n-g", "verdict"]);
});

test("lamps are named once", () => {
  assert.deepEqual(steps({ by: "lamps" }).slice(4), ["by", "lamp-names", "lamps", "verdict"]);
  assert.deepEqual(steps({ by: "lamps", lamps_known: "yes" }).slice(4), ["by", "lamps", "verdict"]);
});

test("a stop sign leads to the verdict at once", () => {
  assert.deepEqual(steps({ by: "meter" }, { stopped: true }), ["where", "outlet", "look", "verdict"]);
});

test("nothing is plugged in without a usable verdict", () => {
  assert.ok(!steps({ by: "meter" }).includes("plug"));
  assert.deepEqual(steps({ by: "meter" }, { usable: true }).slice(-5), ["verdict", "plug", "skin", "inside", "done"]);
});

test("a live skin ends in unplugging", () => {
  assert.deepEqual(steps({ by: "meter", "skin.level": "stop" }, { usable: true }).slice(-2), ["skin", "unplug"]);
});

test("an outlet of the rig asks for no place and plugs nothing in", () => {
  const inRig = steps({ by: "meter" }, { where: "rig", usable: true });

  assert.equal(inRig[0], "outlet");
  assert.equal(inRig.at(-1), "verdict");
});

test("a step that was not reached yet is not shown", () => {
  const all = ["where", "outlet", "look"];

  assert.equal(allowedStep(all, "look", "outlet"), "outlet");
  assert.equal(allowedStep(all, "where", "outlet"), "where");
  assert.equal(allowedStep(all, "nonsense", "outlet"), "outlet");
  assert.equal(allowedStep(all, "", ""), "where");
});
