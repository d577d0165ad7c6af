import assert from "node:assert/strict";
import test from "node:test";

import { allowedStep, shareGone, stepsFor } from "../../static/js/check/steps.js";

const SITUATION = { where: "pedestal", stopped: false, usable: false, trips: false };
const steps = (values, situation = {}) => stepsFor(values, { ...SITUATION, ...situation });

test("a meter asks for three pairs and no lamps", () => {
  assert.deepEqual(steps({ by: "meter" }), [
    "where",
    "outlet",
    "look",
    "by",
    "meter",
    "ready",
    "volts.h-n",
    "volts.h-g",
    "volts.n-g",
    "verdict",
  ]);
});

test("lamps are named once", () => {
  assert.deepEqual(steps({ by: "lamps" }).slice(3), ["by", "lamp-names", "tester", "ready", "lamps", "verdict"]);
  assert.deepEqual(steps({ by: "lamps", lamps_known: "yes" }).slice(3), ["by", "tester", "ready", "lamps", "verdict"]);
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
  assert.deepEqual(steps({ outlet: "14-50", by: "meter" }).slice(3), ["by", "meter", "ready", ...LEGS, "verdict"]);
  assert.deepEqual(steps({ outlet: "14-50", by: "lamps" }).slice(3), [
    "by",
    "lamp4-names",
    "tester",
    "ready",
    "lamp4s",
    "verdict",
  ]);
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

test("both instruments are proved before either goes in", () => {
  assert.deepEqual(steps({ by: "both", lamps_known: "yes" }).slice(3, 8), [
    "by",
    "meter",
    "tester",
    "ready",
    "volts.h-n",
  ]);
});

test("lamps that are learnt at a right outlet are proved by that", () => {
  assert.deepEqual(steps({ by: "lamps", "lamp.way": "learn" }).slice(4, 7), ["lamp-learn", "lamp-apart", "ready"]);
  assert.ok(steps({ outlet: "14-50", by: "lamps", "lamp.way": "learn" }).includes("lamp4-names"));
});

test("without a tester the look alone is judged, and nothing is put in", () => {
  assert.deepEqual(steps({ by: "none" }, { trips: true }).slice(3), ["by", "no-tester", "verdict"]);
});

test("a tester that turns up later is made ready for as any other", () => {
  assert.deepEqual(steps({ by: "none", added: ["meter"] }).slice(5, 8), ["meter", "ready", "volts.h-n"]);
  assert.deepEqual(steps({ by: "none", added: ["detector"] }).slice(5, 7), ["ready", "detector"]);
});

test("who types all volts on one screen has two screens before the verdict", () => {
  assert.deepEqual(steps({ quick: "yes", by: "meter" }, { trips: true }), ["where", "quick", "verdict"]);
  assert.equal(steps({ quick: "yes" }, { usable: true })[3], "plug");
});

test("what follows the verdict makes the way to it no longer", () => {
  const before = steps({ by: "meter" });
  const after = steps({ by: "meter" }, { usable: true });

  assert.equal(shareGone(before, "verdict"), 1);
  assert.equal(shareGone(after, "verdict"), 1);
  assert.equal(shareGone(after, "done"), 1);
  assert.ok(shareGone(before, "look") < shareGone(before, "by"));
});
