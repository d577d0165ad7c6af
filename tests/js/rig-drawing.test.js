import assert from "node:assert/strict";
import test from "node:test";
import { protect } from "../../static/js/engine/protect.js";
import { rigDrawing } from "../../static/js/rig/drawing.js";
import { drawingWords } from "../../static/js/rig/drawing-words.js";
import { guardedRuns, wayTo } from "../../static/js/rig/runs.js";
import { guardText, namesOf } from "../../static/js/rig/words.js";

const part = (id, kind, more = {}) => ({ id, kind, name: `The ${id}`, ...more });
const run = (from, to, side) => ({ from, to, ...(side ? { from_side: side } : {}) });
const known = (map, without = []) => ({
  ...protect({ ...map, modes: { now: { without } } }).now,
  names: namesOf(map),
  without,
  contradictions: [],
});

const TWO_SOURCES = {
  parts: [
    part("inlet", "inlet"),
    part("main", "breaker", { gfci: true }),
    part("station", "inverter"),
    part("plug", "junction"),
    part("desk", "receptacle"),
  ],
  runs: [run("inlet", "main"), run("main", "plug"), run("station", "plug"), run("plug", "desk")],
};

test("a wire is behind a device where its power came through the device, in this mode", () => {
  assert.deepEqual([...guardedRuns(TWO_SOURCES, [2])], [1, 3]);
  assert.deepEqual([...guardedRuns(TWO_SOURCES, [1])], [1]);
});

test("a wire on the line side of a ground-fault outlet is not behind it", () => {
  const map = {
    parts: [part("g", "gfci-receptacle"), part("a", "receptacle"), part("b", "receptacle")],
    runs: [run("g", "a", "load"), run("g", "b", "line")],
  };

  assert.deepEqual([...guardedRuns(map)], [0]);
});

test("a wire of which no side is noted leaves a ground-fault outlet from its line side", () => {
  const map = { parts: [part("g", "gfci-receptacle"), part("a", "receptacle")], runs: [run("g", "a")] };

  assert.deepEqual([...guardedRuns(map)], []);
});

test("an outlet is said to be guarded by what stands before it, and by nothing where nothing does", () => {
  const map = {
    parts: [part("inlet", "inlet"), part("g", "gfci-receptacle"), part("a", "receptacle"), part("b", "receptacle")],
    runs: [run("inlet", "g"), run("g", "a", "load"), run("g", "b", "line")],
  };
  const said = map.parts.map((each) => guardText(each, known(map)));

  assert.deepEqual(said, ["", "Guarded by itself", "Guarded by The g", "NOT guarded"]);
});

test("what an inverter feeds is not behind the device that stands before the inverter", () => {
  const map = {
    parts: [part("b", "breaker", { gfci: true }), part("station", "inverter"), part("desk", "receptacle")],
    runs: [run("b", "station"), run("station", "desk")],
  };

  assert.deepEqual([...guardedRuns(map)], [0]);
});

test("the way to a part begins at its source, in each mode at another", () => {
  const through = (without) => wayTo(TWO_SOURCES, "desk", without).map((i) => TWO_SOURCES.runs[i].from);

  assert.deepEqual(through([2]), ["inlet", "main", "plug"]);
  assert.deepEqual(through([1]), ["station", "plug"]);
});

test("wires that run in a ring come to an end", () => {
  const ring = {
    parts: ["a", "b", "c"].map((id) => part(id, "junction")),
    runs: [run("a", "b"), run("b", "c"), run("c", "a")],
  };

  assert.deepEqual([...guardedRuns(ring)], []);
  assert.equal(wayTo(ring, "a").length, 3);
  assert.match(rigDrawing(ring, known(ring)).text, /The c/);
});

test("what a name holds never becomes markup", () => {
  const map = { parts: [part("x", "receptacle", { name: "<b>&", note: "<i>" })], runs: [] };

  assert.ok(!rigDrawing(map, known(map)).text.includes("<b>&"));
  assert.ok(!drawingWords(map, known(map), "r").text.includes("<i>"));
});

test("every part stands in the drawing and in the words, and each printed sheet begins where another ends", () => {
  const parts = Array.from({ length: 80 }, (_, i) => part(`p${i}`, i % 7 ? "receptacle" : "breaker"));
  const map = { parts, runs: parts.slice(1).map((_, i) => run(`p${Math.floor(i / 3)}`, `p${i + 1}`)) };
  const drawing = rigDrawing(map, known(map)).text;

  assert.equal(drawing.match(/data-part="/g).length, 80);
  assert.equal(drawingWords(map, known(map), "r").text.match(/<h3>/g).length, 80);
  const sheets = [...drawing.matchAll(/viewBox="0 ([\d.]+) [\d.]+ ([\d.]+)" width/g)].map(([, top, height]) => [
    Number(top),
    Number(height),
  ]);
  for (const [i, [top]] of sheets.slice(1).entries()) assert.equal(top, sheets[i][0] + sheets[i][1]);
  assert.ok(sheets.length > 5 && sheets.every(([, height]) => height <= 760));
});

test("no name is cut, neither in its box nor where a wire says from where it comes", () => {
  // 60 letters, the most that a name may have
  const long = "Power station under the bench, on the side of the driver two";
  const map = {
    parts: [
      part("inlet", "inlet"),
      part("station", "inverter", { name: long }),
      part("g", "gfci-receptacle"),
      part("plug", "junction", { name: `${long.slice(0, 58)} X` }),
      part("desk", "receptacle"),
    ],
    runs: [run("inlet", "g"), run("g", "plug", "load"), run("station", "plug"), run("plug", "desk")].map((each) => ({
      ...each,
      awg: 14,
      feet: 12.5,
    })),
  };
  const lines = rigDrawing(map, known(map)).text.split('<div class="rig-map-sheets"')[0];

  assert.ok(!lines.includes("…"));
  const read = lines.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
  assert.ok(
    read.includes(`from ${long}, 14 AWG, 12.5 ft`) && read.includes("from The g, 14 AWG, 12.5 ft, load side"),
    read,
  );
});
