import assert from "node:assert/strict";
import test from "node:test";

import { allowedStep, stepsFor } from "../../static/js/check/steps.js";

const SITUATION = { where: "pedestal", stopped: false, usable: false, trips: false };
const steps = (values, situation = {}) => stepsFor(values, { ...SITUATION, ...situation });

test("a meter asks for three pairs and no lamps", () => {
  assert.deepEqual(steps({ by: "meter" }), [
    "where",
    "outlet",
    "look",
    "ready",
    "by",
    "meter",
    "volts.h-n",
    "volts.h-g",
    "volts.n-g",
    "verdict",
  ]);
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

const LEGS = ["volts.x-y", "volts.x-n", "volts.y-n", "volts.x-g", "volts.y-g", "volts.n-g"];

test("an outlet with two legs asks for six pairs, one a screen", () => {
  assert.deepEqual(steps({ outlet: "14-50", by: "meter" }).slice(4), ["by", "meter", ...LEGS, "verdict"]);
  assert.deepEqual(steps({ outlet: "14-50", by: "lamps" }).slice(4), ["by", "lamp4-names", "lamp4s", "verdict"]);
});

test("the screens of an added test come before the verdict", () => {
  assert.deepEqual(steps({ by: "meter", added: ["low-impedance", "load"] }).slice(-4), [
    "volts.n-g",
    "low-impedance",
    "load",
    "verdict",
  ]);
});

test("lamps added to a check by meter are named first, once", () => {
  assert.deepEqual(steps({ by: "meter", added: ["lamps"] }).slice(-3), ["lamp-names", "lamps", "verdict"]);
  assert.deepEqual(steps({ by: "meter", added: ["lamps"], lamps_known: "yes" }).slice(-2), ["lamps", "verdict"]);
});

test("a meter added to a check by lamps is proved before it reads", () => {
  assert.deepEqual(steps({ by: "lamps", lamps_known: "yes", added: ["meter"] }).slice(-5), [
    "meter",
    "volts.h-n",
    "volts.h-g",
    "volts.n-g",
    "verdict",
  ]);
  assert.deepEqual(steps({ by: "lamps", lamps_known: "yes", added: ["load"] }).slice(-3), ["meter", "load", "verdict"]);
});

test("a test without screens adds none", () => {
  assert.deepEqual(steps({ by: "meter", added: ["ask-the-stars"] }).at(-2), "volts.n-g");
  assert.ok(!steps({ outlet: "14-50", by: "meter", added: ["unplug-others"] }).includes("unplug-others"));
});
