// The test of a cord set and the noting of one: what is asked for, and what is kept.
// 29 CFR 1926.404(b)(1)(iii)(D): the ground continuous, and on its own contact; 1 ohm is an own choice.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { ofSet } from "../../static/js/round/cord-sets.js";
import { pointsOf } from "../../static/js/round/steps.js";
import { setBody, setProblems } from "../../static/js/sets/answers.js";

const LOOKS = JSON.parse(readFileSync(new URL("../../schemas/facts/looks.json", import.meta.url), "utf8")).entries;
const MAP = { parts: [], runs: [], modes: {} };
const pointsAt = (of, hots) => pointsOf(LOOKS, MAP, { of, subject: "s" }, hots);
const points = pointsAt("set", 1);
const good = { unplugged: "yes", ...Object.fromEntries(points.map(({ id }) => [`point.${id}`, "good"])) };
const found = (answers) => ofSet({ answers: { ...good, ...answers }, points });
const KEPT = { type: "extension", number: "3", hots: "1", fixed: "no" };
const kept = { body: { name: "Extension cord C3", number: "C3" } };

test("a set with two hots is asked for the other one, a set with one is not", () => {
  const ids = (hots) => pointsAt("set", hots).map(({ id }) => id);

  assert.deepEqual(ids(1), ["set-ground", "set-ground-attached", "set-neutral", "set-hot"]);
  assert.deepEqual(ids(2), [...ids(1), "set-hot-other"]);
});

test("the look before use asks what the look at the cord asks, but for the surge protector", () => {
  const ids = (of) => pointsAt(of).map(({ id }) => id);

  assert.deepEqual([...ids("set-look"), "surge-light"], ids("cord"));
});

test("nothing is read on a set that is plugged in anywhere", () => {
  assert.match(found({ unplugged: "no" }).problems.unplugged, /Unplug it at both ends first/);
  assert.match(found({ unplugged: "" }).problems.unplugged, /Say whether/);
});

for (const [ohms, said, isRight] of [
  ["", "good", true],
  ["1", "good", true],
  ["1,0 ohm", "good", true],
  ["1.1", "good", false],
  ["1.1", "bad", true],
  ["0.2", "none", false],
  ["x", "good", false],
])
  test(`ohms ${ohms || "not read"} beside a ground that is ${said} ${isRight ? "stand" : "are asked about"}`, () => {
    assert.equal("ohms" in found({ ohms, "point.set-ground": said }).problems, !isRight);
  });

test("a whole test keeps every conductor, a bad one says that the set is out of use", async () => {
  const { body } = await found({ ohms: "0,2" }).members();
  const bad = found({ "point.set-neutral": "bad", "point.set-hot": "none" });

  assert.deepEqual([body.of, body.not_tested, body.ohms], ["set", [], "0.2 ohm"]);
  assert.deepEqual(new Set(Object.values(body.points)), new Set(["good"]));
  assert.ok(bad.isBad && /out of use/.test(bad.came));
  assert.deepEqual((await bad.members()).body.not_tested, ["set-hot"]);
});

test("a conductor that was not looked at leaves the set due", () => {
  assert.match(found({ "point.set-hot": "none" }).came, /1 of 4 not looked at/);
  assert.equal(found({ "point.set-hot": "" }).problems["point.set-hot"].startsWith("Say yes or no"), true);
});

test("a set is known by its number, which no other has", () => {
  assert.deepEqual(Object.keys(setProblems({}, [])), ["type", "number", "hots", "fixed"]);
  assert.match(setProblems({ ...KEPT, number: " c3 " }, [kept]).number, /“Extension cord C3” has this number/);
  assert.deepEqual(setProblems({ ...KEPT, number: "c3" }, [{ body: { ...kept.body, retired: true } }]), {});
  assert.deepEqual(setBody({ ...KEPT, number: " 3 ", hots: "2", fixed: "yes" }, "Extension cord"), {
    name: "Extension cord 3",
    type: "extension",
    installed: null,
    number: "3",
    hots: 2,
    fixed: true,
    note: "",
  });
});
