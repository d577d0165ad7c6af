// The test of a cord set and the noting of one: what is asked for, and what is kept.
// 29 CFR 1926.404(b)(1)(iii)(D): the ground continuous, and on its own contact; 1 ohm is an own choice.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { rigsOf } from "../../static/js/rig/rig-of.js";
import { cordLooks } from "../../static/js/round/cord-looks.js";
import { ofSet } from "../../static/js/round/cord-sets.js";
import { standingOf } from "../../static/js/round/standing.js";
import { pointsOf } from "../../static/js/round/steps.js";
import { setBody, setProblems } from "../../static/js/sets/answers.js";

const LOOKS = JSON.parse(readFileSync(new URL("../../schemas/facts/looks.json", import.meta.url), "utf8")).entries;
const factsOf = (name) => JSON.parse(readFileSync(new URL(`../../schemas/facts/${name}`, import.meta.url))).entries;
const [DUE, INCIDENTS] = [factsOf("due.json"), factsOf("incidents.json")];
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

test("a cord set is looked over before each day’s use; 29 CFR 1926.404(b)(1)(iii)(C)", () => {
  const row = (kind, id, at, body, subject = null) => ({
    id,
    record: { id, kind, rig: "rig", subject, observed_at: `2026-11-${at}:00.000+00:00`, corrects: null, body },
  });
  const look = (at, noted, not_tested = []) =>
    row("look", `l${at}`, at, { of: "set-look", points: noted, not_tested, note: "" }, "s");
  const said = (...more) => {
    const [rig] = rigsOf([
      row("rig", "rig", "01T08:00", { name: "Wren", outlet: "TT-30" }),
      row("device", "s", "01T08:00", { name: "Shore cord 1", type: "cord-set", number: "1", hots: 1, fixed: false }),
      ...more,
    ]);
    return cordLooks(rig, "2026-11-20", { due: DUE, incidents: INCIDENTS }).map((each) => each.said.split(";")[0])[0];
  };
  const pulled = row("incident", "i", "20T09:00", { what: "pull", at: "thing", note: "" }, "s");

  assert.equal(said(), "not looked over today");
  assert.equal(said(look("19T10:00", { "cord-jacket": "good" })), "not looked over today");
  assert.equal(said(look("20T08:00", { "cord-jacket": "good" })), "looked over today");
  assert.equal(said(look("20T08:00", { "cord-jacket": "good" }, ["cord-blades"])), "only looked over in part today");
  assert.equal(said(look("20T08:00", { "cord-jacket": "bad" })), "not found whole at today’s look");
  assert.equal(said(look("20T08:00", { "cord-jacket": "good" }), pulled), "not looked over since the incident");
  assert.equal(said(pulled, look("20T09:30", { "cord-jacket": "good" })), "looked over today");
});

test("a look of an earlier day in a round that goes on is asked again; 29 CFR 1926.404(b)(1)(iii)(C)", () => {
  const noted = { record: { observed_at: "2026-11-19T10:00:00.000+00:00" } };
  const round = {
    started_at: "",
    saved: { key: { look: { id: "l" } } },
    before: {},
    came: { key: "whole" },
    skipped: {},
  };
  const step = { key: "key", what: "look", of: "set-look", subject: "s", due: [] };
  const stands = (today) => standingOf({ noted: () => noted, outlets: [] }, round, step, today);

  assert.equal(stands("2026-11-19").state, "Noted: whole");
  assert.match(stands("2026-11-20").before, /earlier day/);
});
