import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { dueOf } from "../../static/js/rig/due.js";
import { mapOf } from "../../static/js/rig/map-of.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";
import {
  againstMap,
  lampsOf,
  lookBody,
  modeAnswer,
  modesToAsk,
  outletProblems,
  PATTERNS,
  tripBody,
  tripProblems,
  tripStops,
} from "../../static/js/round/answers.js";
import { listMarkup } from "../../static/js/round/list.js";
import { standingOf } from "../../static/js/round/standing.js";
import { dueWords, isDue, madeElsewhere, outletsBeside, pointsOf, stepsOf } from "../../static/js/round/steps.js";

const read = (name) => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8"));
const DUE = read("../../schemas/facts/due.json").entries;
const INCIDENTS = read("../../schemas/facts/incidents.json").entries;
const row = (kind, id, body = {}, members = {}) => ({
  id,
  record: {
    id,
    kind,
    rig: "rig",
    subject: null,
    observed_at: "2026-11-20T10:00:00.000+00:00",
    corrects: null,
    body,
    ...members,
  },
});
const rows = (...more) => [
  row("rig", "rig", { name: "Wren", outlet: "TT-30" }),
  row("device", "d", { name: "Galley", type: "gfci-receptacle" }),
  row("device", "b", { name: "Main", type: "breaker" }),
  row("outlet", "o", { name: "Sink", outlet: "5-15", guard: "d" }),
  row("outlet", "p", { name: "Bed", outlet: "5-15", guard: null }),
  ...more,
];
const rigWith = (...more) => rigsOf(rows(...more))[0];

test("the map of a list hangs each outlet on its noted guard", () => {
  const { map, isDrawn } = mapOf(
    rigWith(
      row("device", "c", { name: "Cord", type: "cord-gfci" }),
      row("device", "g", { name: "Panel", type: "gfci-breaker" }),
    ),
  );

  assert.equal(isDrawn, false);
  assert.deepEqual(
    map.parts.map(({ id, kind }) => `${id} ${kind}`),
    [
      "supply supply",
      "c cord-gfci",
      "inlet inlet",
      "d gfci-receptacle",
      "b breaker",
      "g breaker",
      "o receptacle",
      "p receptacle",
    ],
  );
  assert.deepEqual(map.runs, [
    { from: "supply", to: "c" },
    { from: "c", to: "inlet", from_side: "load" },
    { from: "inlet", to: "d" },
    { from: "inlet", to: "b" },
    { from: "inlet", to: "g" },
    { from: "d", to: "o", from_side: "load" },
    { from: "inlet", to: "p" },
  ]);
  assert.equal(map.parts.find(({ id }) => id === "g").gfci, true);
});

test("a round walks devices, outlets, a look outside, then cord, inlet and alarms; a plain breaker has no TEST", () => {
  const rig = rigWith();
  const { map } = mapOf(rig);
  map.parts.find(({ id }) => id === "p").where = ["outside"];

  assert.deepEqual(
    stepsOf(rig, map, []).map(({ key }) => key),
    ["device-d", "outlet-o", "outlet-p", "look-p", "look-cord", "look-inlet", "look-skin", "look-alarms"],
  );
});

test("a look is due where the rules say so of that outlet", () => {
  const isOwed = (subject, standing) => {
    const rig = rigWith();
    const { map } = mapOf(rig);
    map.parts.find(({ id }) => id === "p").where = ["near-water"];
    return stepsOf(rig, map, [{ thing: { what: "outlet-look", subject }, standing }]).find(
      ({ key }) => key === "look-p",
    ).isDue;
  };

  assert.deepEqual(
    [isOwed("p", "today"), isOwed("p", "never"), isOwed("p", "later"), isOwed("o", "today")],
    [true, true, false, false],
  );
});

test("an outlet is due where it is due under load only", () => {
  const due = [
    { thing: { what: "outlet-loaded", subject: "o" }, standing: "overdue" },
    { thing: { what: "outlet", subject: "o" }, standing: "later" },
  ];
  const rig = rigWith();

  assert.deepEqual(
    stepsOf(rig, mapOf(rig).map, due)
      .filter((step) => step.isDue)
      .map(({ key }) => key),
    ["outlet-o"],
  );
  assert.equal(isDue({ standing: "later" }), false);
});

test("of an outlet whose ground was found bad it is said that its ground failed", () => {
  const item = (what) => ({ thing: { what }, standing: "failed", next: "2026-11-20" });

  assert.equal(dueWords(item("ground")), "its ground failed at its last test");
  assert.equal(dueWords(item("outlet")), "failed at its last test");
});

test("a test on the outlet’s own page counts from the moment the round began", () => {
  const rig = rigWith(row("outlet-test", "t", {}, { subject: "o", observed_at: "2026-11-20T09:00:00.000-01:00" }));
  const step = { what: "outlet", subject: "o" };

  assert.equal(madeElsewhere(rig, step, "2026-11-20T10:00:00.000+00:00").id, "t");
  assert.equal(madeElsewhere(rig, step, "2026-11-20T10:00:00.001+00:00"), undefined);
});

test("what was noted before an incident shows nothing of it: the step is open again until it is noted after it", () => {
  // 29 CFR 1926.404(b)(1)(iii)(E): tests are made after any incident that may have done damage.
  const press = (id, minute) =>
    row(
      "trip-test",
      id,
      { by: "button", tripped: true, face_dead: true, reset: true, dead: [], live: [], mode: null },
      { subject: "d", observed_at: `2026-11-20T10:${minute}:00.000+00:00` },
    );
  const struck = row(
    "incident",
    "i",
    { what: "overvoltage", at: "cord", note: "" },
    { observed_at: "2026-11-20T10:30:00.000+00:00" },
  );
  const round = {
    started_at: "2026-11-20T10:00:00.000+00:00",
    saved: { "device-d": { "trip-test": { id: "t" } } },
    before: {},
    came: { "device-d": "it tripped and holds" },
    skipped: {},
  };
  const stands = (...more) => {
    const rig = rigWith(...more);
    const due = dueOf(rig, DUE, "2026-11-20", INCIDENTS);
    const step = stepsOf(rig, mapOf(rig).map, due).find(({ key }) => key === "device-d");
    const { state, before, shownBy } = standingOf(rig, round, step, "2026-11-20");
    return [state, before, shownBy];
  };

  assert.deepEqual(stands(press("t", "10")), ["Noted: it tripped and holds", null, "t"]);
  assert.deepEqual(stands(press("t", "10"), struck), [
    undefined,
    "Noted before the incident (surge), so it shows nothing of what came after: due again",
    "t",
  ]);
  assert.deepEqual(stands(press("t", "40"), struck), ["Noted: it tripped and holds", null, "t"]);
});

test("the face of a device that is an outlet too is not asked for twice", () => {
  const rig = rigWith();
  const { map } = mapOf(rig);
  map.parts.find(({ id }) => id === "d").outlet = "o";
  map.parts = map.parts.filter(({ id }) => id !== "o");

  assert.deepEqual(
    outletsBeside(rig, map, "d").map(({ id }) => id),
    ["p"],
  );
});

test("what was said of the others holds for each outlet that was not said by itself", () => {
  const answers = {
    tripped: "yes",
    face_dead: "yes",
    pressed: "yes",
    reset: "yes",
    "outlet.o": "dead",
    others: "live",
  };

  assert.deepEqual(tripBody(answers, ["o", "p"]), {
    by: "button",
    tripped: true,
    face_dead: true,
    reset: true,
    dead: ["o"],
    live: ["p"],
    not_tested: [],
  });
  assert.deepEqual(tripBody({ ...answers, others: "none" }, ["o", "p"]).live, []);
  assert.deepEqual(tripBody({ ...answers, others: "" }, ["o", "p"]).live, []);
});

test("a device that stayed on left nothing dead, whatever was tapped before", () => {
  const said = { tripped: "no", power: "yes", face_dead: "yes", pressed: "yes", reset: "yes" };
  const body = tripBody({ ...said, "outlet.o": "dead", others: "live" }, ["o", "p"]);

  assert.deepEqual(body, {
    by: "button",
    tripped: false,
    face_dead: null,
    reset: null,
    dead: [],
    live: [],
    not_tested: ["face_dead", "reset", "outlets"],
  });
  assert.equal(tripStops(body, null).length, 1);
});

test("each question without an answer is asked for, and none where the device has no face", () => {
  const asked = { outlets: ["o"], face: true };

  assert.deepEqual(Object.keys(tripProblems({}, asked)), ["tripped"]);
  assert.deepEqual(Object.keys(tripProblems({ tripped: "yes" }, asked)), ["face_dead", "others", "pressed"]);
  assert.deepEqual(
    Object.keys(tripProblems({ tripped: "yes", "outlet.o": "live", pressed: "yes" }, { ...asked, face: false })),
    ["reset"],
  );
  assert.deepEqual(tripProblems({ tripped: "yes", "outlet.o": "live", pressed: "no" }, { ...asked, face: false }), {});
  assert.deepEqual(tripProblems({ tripped: "no", power: "yes" }, asked), {});
});

test("RESET holds only where RESET was pressed", () => {
  assert.equal(tripBody({ tripped: "yes", reset: "yes" }, []).reset, null);
  assert.equal(tripBody({ tripped: "yes", pressed: "no", reset: "yes" }, []).reset, null);
  assert.equal(tripBody({ tripped: "yes", pressed: "yes", reset: "yes" }, []).reset, true);
});

test("a device that had no power before did not stay on, and nothing is kept of it", () => {
  for (const power of ["", "no", "none"]) {
    assert.deepEqual(Object.keys(tripProblems({ tripped: "no", power }, { outlets: [], face: true })), ["power"]);
    assert.equal(tripBody({ tripped: "no", power }, []).tripped, null);
  }
});

test("the mode is asked for where the device has power in several, and what nobody knows is null", () => {
  const asked = { outlets: [], face: false, modes: ["shore", "none"] };
  const done = { tripped: "yes", pressed: "no" };

  assert.deepEqual(Object.keys(tripProblems(done, asked)), ["mode"]);
  assert.deepEqual(Object.keys(tripProblems({ ...done, mode: modeAnswer("station") }, asked)), ["mode"]);
  assert.deepEqual(tripProblems({ ...done, mode: "none" }, asked), {});
  assert.deepEqual(tripProblems({ tripped: "no", power: "yes" }, asked), {});
  assert.equal(tripBody({ tripped: "yes", mode: modeAnswer("none") }, [], asked.modes).mode, "none");
  assert.equal(tripBody({ tripped: "yes", mode: "none" }, [], asked.modes).mode, null);
  assert.equal("mode" in tripBody({ tripped: "yes", mode: modeAnswer("shore") }, []), false);
});

test("a trip in a mode is held against the map in that mode", () => {
  const rig = rigWith();
  const { map } = mapOf(rig);
  map.parts.push({ id: "inv", kind: "inverter", name: "Station" });
  map.runs.push({ from: "inv", to: "d" });
  const at = (from, to) => map.runs.findIndex((run) => run.from === from && run.to === to);
  map.modes = {
    shore: { without: [at("inv", "d")] },
    station: { without: [at("inlet", "d"), at("inlet", "b"), at("inlet", "p")] },
  };
  const against = (mode) =>
    againstMap(map, rig, "d", { tripped: true, face_dead: true, dead: ["o", "p"], live: [], mode });

  assert.deepEqual(modesToAsk(map, "d"), ["shore", "station"]);
  assert.deepEqual(modesToAsk(map, "b"), []);
  assert.equal(against("shore").length, 1);
  assert.deepEqual([against("station"), against(null), against(undefined)], [[], [], []]);
});

test("a face that stayed live, or a reset that does not hold, has a sentence; what was not tried has none", () => {
  assert.equal(tripStops({ tripped: true, face_dead: false, reset: false }, null).length, 2);
  assert.deepEqual(tripStops({ tripped: true, face_dead: null, reset: null }, null), []);
});

test("a trip is held against the map, the device’s own face too", () => {
  const rig = rigWith();
  const { map } = mapOf(rig);
  const against = (body) =>
    againstMap(map, rig, "d", { tripped: true, face_dead: true, dead: ["o"], live: ["p"], ...body });

  assert.deepEqual(against({}), []);
  assert.equal(against({ face_dead: false }).length, 1);
  assert.match(against({ dead: ["o", "p"], live: [] })[0], /“Bed” went dead; the map says live/);
  assert.match(against({ dead: [], live: ["o"] })[0], /“Sink” stayed live; the map says dead/);
  assert.deepEqual(against({ tripped: false, dead: [], live: ["o"] }), []);
});

test("a point that the map says does not apply is not asked", () => {
  const { entries } = JSON.parse(readFileSync(new URL("../../schemas/facts/looks.json", import.meta.url), "utf8"));
  const asked = (where, step = { of: null, subject: "o" }) =>
    pointsOf(
      entries,
      {
        parts: [
          { id: "p", outlet: "o", where },
          { id: "q", outlet: "other", where: ["outside"] },
          { id: "r", where: ["outside"] },
        ],
      },
      step,
    ).map(({ id }) => id);

  // An in-use cover is asked of outlets outside only: NEC 406.9(B)(1), as the table says.
  assert.ok(asked(["outside"]).includes("outlet-cover") && asked(["near-water", "outside"]).includes("outlet-cover"));
  assert.deepEqual(asked(["near-water"]), ["outlet-strain-relief", "outlet-dry", "outlet-grip"]);
  assert.deepEqual(asked(["near-water"], { of: "inlet", subject: null }), ["inlet-burn", "inlet-cover"]);
});

test("lamps leave a load due, and its card says so with the way to it", () => {
  const due = (what, standing) => ({ thing: { what, subject: "o" }, standing, next: "2026-12-01" });
  const step = (load) => ({
    key: "outlet-o",
    what: "outlet",
    subject: "o",
    of: null,
    name: "Bunk",
    due: [due("outlet", "later"), due("outlet-loaded", load)],
    isDue: load !== "later",
  });
  const text = (load, state) =>
    listMarkup(
      { id: "r", name: "Wren" },
      {
        inRound: [step(load)],
        others: [],
        grounds: [],
        struck: [],
        states: new Map([["outlet-o", state]]),
        startedAt: "2026-11-25T10:00:00-06:00",
        hasMore: false,
      },
    ).text;

  assert.match(
    text("overdue", "Noted: Use"),
    /Its load stays due: under load overdue since[^<]*<a [^>]*href="\/outlets\/o"/,
  );
  assert.doesNotMatch(text("later", "Noted: Use"), /stays due/);
  assert.doesNotMatch(text("overdue", undefined), /stays due/);
});

test("a point that was not looked at is listed as that", () => {
  const points = [{ id: "a" }, { id: "b" }, { id: "c" }];

  assert.deepEqual(lookBody({ "point.a": "good", "point.b": "bad", "point.c": "none" }, points, "cord"), {
    of: "cord",
    points: { a: "good", b: "bad" },
    not_tested: ["c"],
    note: "",
  });
});

test("a pattern says all three lamps, and only something else is said lamp by lamp", () => {
  assert.deepEqual(lampsOf({ pattern: "lit dark lit", "lamps.h-n": "dim" }), {
    "lamps.h-n": "lit",
    "lamps.h-g": "dark",
    "lamps.n-g": "lit",
  });
  assert.deepEqual(lampsOf({ pattern: "other", "lamps.h-n": "dim", "lamps.h-g": "none" }), {
    "lamps.h-n": "dim",
    "lamps.h-g": "none",
    "lamps.n-g": "",
  });
  assert.equal(new Set(PATTERNS).size, PATTERNS.length);
});

test("no pattern, lamps that nobody saw, no supply and no word about the weather are asked for", () => {
  const known = { supply: "utility", isDry: true };
  const open = { pattern: "other", "lamps.h-n": "none", "lamps.h-g": "none", "lamps.n-g": "none" };

  assert.deepEqual(Object.keys(outletProblems({}, { supply: "", isDry: false })), ["dry", "supply", "pattern"]);
  assert.deepEqual(Object.keys(outletProblems(open, known)), ["pattern"]);
  assert.deepEqual(outletProblems({ ...open, "lamps.h-n": "dark" }, known), {});
});
