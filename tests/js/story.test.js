import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { storyMarkup, storyOf, unprovedMarkup } from "../../static/js/rig/story.js";

const table = (name) =>
  JSON.parse(readFileSync(new URL(`../../schemas/facts/${name}.json`, import.meta.url), "utf8")).entries;
const RULES = { proving: table("proving"), looks: table("looks"), due: table("due") };
const BY = { rules: RULES, wordOf: (verdict) => verdict, ohmsOf: () => null };
const PARTS = [
  { id: "inlet", kind: "inlet", name: "Inlet", amps: 30 },
  { id: "r", kind: "receptacle", name: "Awning outlet", outlet_type: "5-15", outlet: "o" },
];
const A_RIG = [
  ["rig", "rig", { name: "Wren", outlet: "TT-30", note: "" }],
  ["outlet", "o", { name: "Awning", outlet: "5-15", guard: null }],
  ["rig-map", "m", { parts: PARTS, runs: [{ from: "inlet", to: "r" }], modes: {} }],
];
const A_CHANGE = ["change", "c", { what: "New cable", why: "", parts: ["r"], map: "m", wire: "", device: "" }];

/** Rows in their order, an hour apart. */
const rowsOf = (records) =>
  records.map(([kind, id, body, subject = null], i) => ({
    id,
    seq: i,
    record: {
      id,
      kind,
      rig: "rig",
      subject,
      corrects: null,
      observed_at: new Date(Date.parse("2026-11-25T08:00:00Z") + i * 3_600_000).toISOString(),
      body,
    },
  }));
const story = (...records) => storyOf(rowsOf([...A_RIG, ...records]), "o", RULES);
const look = (id, points, left = []) => ["look", id, { of: "outlet", points, not_tested: left, note: "" }, "o"];
const told = (...records) => storyMarkup(story(...records), BY).text;

test("a change of which nothing is proved yet stands in the outlet's story and beside its verdict", () => {
  assert.match(told(A_CHANGE), /New cable\. Not yet proved\./);
  const [beside] = unprovedMarkup(story(A_CHANGE));
  assert.match(beside.text, /These readings alone do not prove it/);
});

test("a change of which a step is bad says that", () => {
  const bad = {
    step: "no-short",
    part: null,
    pair: null,
    outcome: "bad",
    value: "2",
    unit: "ohm",
    record: null,
    note: "",
  };

  assert.match(told(A_CHANGE, ["proof", "p", bad, "c"]), /Not yet proved: a step is bad\./);
});

test("a change of another part is no matter of this outlet", () => {
  const [kind, id, body] = A_CHANGE;
  const records = [...A_RIG, ["outlet", "o2", { name: "Galley", outlet: "5-15", guard: null }]];
  const parts = [...PARTS, { ...PARTS[1], id: "r2", name: "Galley outlet", outlet: "o2" }];
  const runs = [...A_RIG[2][2].runs, { from: "inlet", to: "r2" }];
  records[2] = ["rig-map", "m", { parts, runs, modes: {} }];
  const rows = rowsOf([...records, [kind, id, { ...body, parts: ["r"] }]]);

  assert.equal(storyOf(rows, "o", RULES).changes.length, 1);
  assert.deepEqual(storyOf(rows, "o2", RULES).changes, []);
});

test("a point that was found bad stands until a later look finds it good, whatever else was looked at since", () => {
  const bad = look("l1", { "outlet-cover": "bad" });
  const other = look("l2", { "outlet-dry": "good" }, ["outlet-cover"]);
  const said = RULES.looks.find(({ id }) => id === "outlet-cover").bad;

  assert.ok(told(bad, other).includes(said));
  assert.ok(!told(bad, other, look("l3", { "outlet-cover": "good" })).includes(said));
});

test("an outlet that nothing guards is said to be not guarded", () => {
  assert.match(told(), /NOT guarded/);
});
