import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { recordWrongAt } from "../../static/js/outbox/filed-records.js";
import { sentenceOf, standingOf } from "../../static/js/planner/answer.js";
import { eveningAfter } from "../../static/js/planner/evening.js";
import { planBody, readingOf } from "../../static/js/planner/keeping.js";
import { lastArrival } from "../../static/js/planner/known.js";
import { keepLoad, problemsOf, removeLoad, valuesOf } from "../../static/js/planner/load-form.js";
import { bindingOf, branchesOf, cordOfMap, hungOn, mainOf } from "../../static/js/planner/map-loads.js";
import { cordsMarkup } from "../../static/js/planner/more.js";
import { torqueShare, wattsPerMetre } from "../../static/js/planner/physics.js";
import { forbiddenSaid, modeFor, suppliedBy } from "../../static/js/planner/sources.js";
import { batteryOf, cordsOf, newState, ofRig, problemsIn, RANGES } from "../../static/js/planner/state.js";
import { adapterSaid, hereOf, plugAmps, supplyHere, supplyTyped, usualOhms } from "../../static/js/planner/supply.js";
import { answerOf, itemsOf, mainOfRig } from "../../static/js/planner/work.js";
import { TABLES } from "./tables-of-plans.mjs";

const FILED = JSON.parse(readFileSync(new URL("../cases/filed-records.json", import.meta.url), "utf8"));
const MAP = {
  parts: [
    { id: "inlet", kind: "inlet", name: "Inlet", amps: 30 },
    { id: "main", kind: "breaker", name: "Main", amps: 30 },
    { id: "b1", kind: "breaker", name: "Galley breaker", amps: 15, leg: "y" },
    { id: "g1", kind: "gfci-receptacle", name: "Galley outlet", amps: 15 },
    { id: "strip", kind: "strip", name: "Strip", amps: 15 },
    { id: "kettle", kind: "appliance", name: "Kettle", watts: 1500 },
    { id: "fan", kind: "appliance", name: "Fan", amps: 0.5, continuous: true },
    { id: "fridge", kind: "appliance", name: "Fridge" },
    { id: "inverter", kind: "inverter", name: "Inverter" },
    { id: "bunk", kind: "receptacle", name: "Bunk" },
    { id: "laptop", kind: "appliance", name: "Laptop", watts: 60 },
  ],
  runs: [
    { from: "inlet", to: "main", awg: 10 },
    { from: "main", to: "b1" },
    { from: "b1", to: "g1", awg: 14 },
    { from: "g1", to: "strip", from_side: "load", awg: 16, cord: "listed" },
    { from: "strip", to: "kettle" },
    { from: "b1", to: "fan" },
    { from: "g1", to: "fridge", from_side: "load" },
    { from: "inverter", to: "bunk" },
    { from: "bunk", to: "laptop" },
  ],
  modes: { Shore: { without: [] }, Station: { without: [0] } },
};
const shore = hungOn(MAP, "Shore", TABLES);
const load = (id, hung = shore) => hung.loads.find((each) => each.id === id);
const CHECK = {
  id: "c",
  observed_at: "2026-11-30T18:00:00-05:00",
  body: {
    place: { park: "Alder Bend", site: "12" },
    check: { outlet: "TT-30", supply: "utility", breaker_amps: "30 A", volts: { "h-n": "118.4 V" } },
    judgement: { verdict: "use" },
  },
};
const answered = (own, given = {}) => {
  const hung = { ...shore, loads: shore.loads.filter(({ from }) => from === "inlet") };
  const items = itemsOf(hung, own).filter(({ watts }) => watts !== null);
  const supply = supplyTyped(
    { outlet: "TT-30", supply: "utility", volts: 120, ohms: 0.1, breakerAmps: 30 },
    "TT-30",
    TABLES,
  );
  return answerOf({ supply: { ...supply, ...given }, cords: [], limitAmps: 30, items }, TABLES);
};

test("a load behind a cord of 16 AWG is held by its 13 A, below the strip and the breaker (NEC 400.5)", () => {
  const binding = bindingOf(load("kettle").rated);
  assert.deepEqual([binding.amps, binding.what], [13, "cord"]);
  assert.match(binding.source, /400\.5/);
  assert.deepEqual(load("kettle").guards, ["Galley outlet"]);
  assert.deepEqual(load("fan").guards, []);
});

test("in each mode what has power is told by the map, and by which source", () => {
  assert.deepEqual(shore.dead, []);
  assert.equal(load("laptop").from, "inverter");
  const station = hungOn(MAP, "Station", TABLES);
  assert.deepEqual(station.dead, ["Kettle", "Fan", "Fridge"]);
  assert.deepEqual(
    station.loads.map(({ id }) => id),
    ["laptop"],
  );
});

test("watts are those of the map, or its amperes at 120 V, and else not noted", () => {
  assert.deepEqual(
    ["kettle", "fan", "fridge"].map((id) => load(id).watts),
    [1500, 60, null],
  );
  assert.equal(load("kettle").leg, "y");
});

test("a breaker that all of the inlet's loads hang on is the main; a branch is none", () => {
  assert.equal(mainOfRig(shore).id, "main");
  assert.equal(mainOf([]), undefined);
});

test("a branch stands in the plan only where it holds more back than the supply does", () => {
  const ways = ["kettle", "fan"].map((id) => load(id));
  const names = (limit) => branchesOf(ways, limit).map(({ name, amps, loads }) => [name, amps, loads]);
  assert.deepEqual(names(30), [
    ["16 AWG cord to Strip", 13, [0]],
    ["Galley breaker", 15, [0, 1]],
  ]);
  assert.deepEqual(names(12), []);
});

test("a map that goes round in a circle ends", () => {
  const parts = [
    { id: "a", kind: "appliance", name: "A", watts: 1 },
    { id: "s", kind: "strip", name: "S" },
  ];
  const runs = [
    { from: "s", to: "a" },
    { from: "a", to: "s" },
  ];
  assert.equal(
    hungOn({ parts, runs, modes: {} }, "", TABLES).dead.length +
      hungOn({ parts, runs, modes: {} }, "", TABLES).loads.length,
    1,
  );
  assert.deepEqual(cordOfMap({ parts, runs, modes: {} }), {});
});

test("what was read here is told from what is only estimated", () => {
  const read = hereOf(CHECK, { ohms: 0.3, ohms_uncertainty: 0.06 });
  const supply = supplyHere(read, "x", "TT-30", TABLES);
  assert.deepEqual([supply.volts, supply.ohms, supply.breakerAmps, supply.receptacleAmps], [118.4, 0.3, 30, 30]);
  assert.ok(Math.abs(supply.mostOhms - 0.36) < 1e-12 && Math.abs(supply.leastOhms - 0.24) < 1e-12);
  const unread = supplyHere(hereOf(CHECK, null), "x", "TT-30", TABLES);
  assert.equal(unread.ohms, 0.2); // 5 % of 120 V at 30 A
  assert.match(unread.said.join(" "), /estimate/);
  const lamps = { ...CHECK, body: { ...CHECK.body, check: { outlet: "TT-30" } } };
  assert.match(supplyHere(hereOf(lamps, null), "x", "", TABLES).said.join(" "), /not read/);
});

test("the smallest plug on the way limits all behind it, and a 14-50 says that one leg is used", () => {
  assert.equal(plugAmps("14-50", ["14-50-to-TT-30"], ""), 30);
  assert.equal(plugAmps("TT-30", [], "5-15"), 15);
  assert.equal(plugAmps("", [], ""), null);
  assert.match(adapterSaid("14-50", "TT-30"), /one leg of the two/);
  assert.equal(adapterSaid("TT-30", "TT-30"), "");
  assert.equal(usualOhms(15, TABLES), 0.4);
});

test("each leg of a 14-50 has its own volts", () => {
  const check = { outlet: "14-50", volts: { "x-n": "118.0 V", "y-n": "122.0 V" } };
  const here = hereOf({ ...CHECK, body: { ...CHECK.body, check } }, null);
  assert.deepEqual([supplyHere(here, "x", "", TABLES).volts, supplyHere(here, "y", "", TABLES).volts], [118, 122]);
});

test("what a cord loses in each metre is that of its table", () => {
  // 30 A and 50 A in 10 AWG: I² · 2 · 1.24 ohm / 1000 ft, NEC Chapter 9 Table 8.
  assert.ok(Math.abs(wattsPerMetre(30, 10, TABLES) - 7.3) < 0.05);
  assert.ok(Math.abs(wattsPerMetre(50, 10, TABLES) - 20.3) < 0.1);
});

test("torque falls with the square of the volts (NEMA MG 1-12.44.2)", () => {
  assert.ok(Math.abs(torqueShare(100.4, 115) - 0.76) < 0.005);
  assert.ok(Math.abs(torqueShare(96, 120) - 0.64) < 1e-12);
});

test("what does not fit is told by what to switch off first", () => {
  const own = { loads: {}, added: [{ id: "h", name: "Heater", at: "strip" }], off: [] };
  own.loads.h = { watts: "1000" };
  const answer = answered(own);
  assert.equal(standingOf(answer), "over");
  assert.equal(sentenceOf(answer), "Switch off first: Heater. Then together: Kettle, Fan.");
  assert.deepEqual(
    answer.sets.map((set) => set.map(({ id }) => id)),
    [
      ["kettle", "fan"],
      ["fan", "h"],
    ],
  );
  own.off = ["h"];
  assert.equal(sentenceOf(answered(own)), "Together: Kettle, Fan.");
  own.off = ["h", "kettle", "fan"];
  assert.equal(standingOf(answered(own)), "none");
});

test("volts at the rig stand between those of the most and the least ohms", () => {
  const answer = answered({ loads: {}, added: [], off: [] }, { leastOhms: 0, mostOhms: 0.2 });
  const [[low, high]] = answer.ranges;
  assert.ok(low < answer.now.volts_at_rig && answer.now.volts_at_rig < high && high === 120);
});

test("loads of one name are told apart, and what is not noted is asked", () => {
  const own = { loads: { x: { watts: "20" } }, added: [{ id: "x", name: "Fan", at: "" }], off: [] };
  assert.deepEqual(
    itemsOf(shore, own).map(({ name }) => name),
    ["Kettle", "Fan", "Fridge", "Laptop", "Fan (2)"],
  );
  assert.match(problemsOf({ watts: "" }, false).watts, /plate/);
  assert.match(problemsOf({ watts: "700", name: " " }, true).name, /what it is/);
  assert.match(problemsOf({ watts: "many" }, false).watts, /number/);
});

test("a load that was told is kept with a dot in its numbers, and goes when it is taken off", () => {
  const state = newState();
  const own = ofRig(state);
  keepLoad(own, null, { name: " Toaster ", watts: "900,5 W", kind: "resistive", at: "strip" });
  const [{ id, name, at }] = own.added;
  assert.deepEqual([name, at, own.loads[id].watts], ["Toaster", "strip", "900.5"]);
  const item = itemsOf(shore, own).find((each) => each.id === id);
  assert.equal(valuesOf(item).name, "Toaster");
  keepLoad(own, id, { ...valuesOf(item), name: "Grill", at: "" });
  assert.equal(own.added[0].name, "Grill");
  removeLoad(own, id);
  assert.deepEqual([own.added, own.loads], [[], {}]);
});

test("what is typed is read or asked about, never guessed", () => {
  assert.deepEqual(problemsIn({ volts: "" }, RANGES), {});
  assert.match(problemsIn({ volts: "12" }, RANGES).volts, /80 to 150/);
  assert.deepEqual(cordsOf({ "cord.0.awg": "10", "cord.0.feet": "25", "cord.1.awg": "14" }), [{ awg: 10, feet: 25 }]);
  assert.equal(batteryOf({ "battery.watt_hours": "1280" }), null);
  const battery = batteryOf({ "battery.watt_hours": "1280", "battery.inverter_watts": "1000", "battery.usable": "90" });
  assert.deepEqual([battery.usable, battery.efficiency, battery.idle_watts], [0.9, 0.88, 10]);
});

test("an outlet that is not to be used has no plan, a supply that was typed in has", () => {
  assert.match(forbiddenSaid({ source: "here" }, { verdict: "do-not-use" }), /No plan/);
  assert.equal(forbiddenSaid({ source: "typed" }, { verdict: "do-not-use" }), "");
  assert.equal(forbiddenSaid({ source: "here" }, { verdict: "use" }), "");
});

test("the mode is the one that the source means, else the first", () => {
  const modes = ["Generator", "Shore", "Station"];
  assert.equal(modeFor(modes, "here", { supply: "generator" }), "Generator");
  assert.equal(modeFor(modes, "typed", null), "Shore");
  assert.equal(modeFor(modes, "battery", null), "Station");
  assert.equal(modeFor(["Dry"], "battery", null), "Dry");
  assert.equal(modeFor([], "typed", null), "");
});

test("a plan is kept with its figures as they were shown, and nothing is kept of no plan", () => {
  const own = { loads: {}, added: [], off: ["fan"] };
  const supply = supplyTyped(
    { outlet: "TT-30", supply: "utility", volts: 120, ohms: 0.1, breakerAmps: 30 },
    "TT-30",
    TABLES,
  );
  const body = planBody(answered(own), supply, false, TABLES);
  assert.deepEqual(body.loads, [{ name: "Kettle", watts: 1500 }]);
  assert.deepEqual([body.off, body.open, body.read, body.is_read], [["Fan"], "120 V", null, false]);
  assert.match(body.planned.volts, /^118\.7 V$/); // constant power: (120 + √(120² - 4 · 0.1 · 1500)) / 2
  assert.equal(planBody(answered({ loads: {}, added: [], off: ["fan", "kettle"] }), supply, false, TABLES), null);
  const told = { "read.volts": "117,2", "read.amps": "", "read.outlet": "" };
  assert.deepEqual(readingOf(told, body), {
    x: { volts: "117.2 V", amps: body.planned.amps, outlet: null },
    y: null,
  });
  assert.equal("second" in body || "leg" in body.loads[0], false);
  assert.equal(readingOf({ "read.volts": "" }, body), null);
});

test("a plan on both hots is kept leg by leg, what one hot gives by hand", () => {
  const own = { loads: {}, added: [], off: [] };
  const typed = { outlet: "14-50", supply: "utility", volts: 120, ohms: 0.2, breakerAmps: 50 };
  const supply = { ...supplyTyped(typed, "14-50", TABLES), leg: "both" };
  const body = planBody(answered(own, supply), supply, false, TABLES);
  assert.deepEqual(
    body.loads.map(({ name, leg }) => [name, leg]),
    [
      ["Kettle", "y"],
      ["Fan", "y"],
    ],
  );
  // 1,560 W of constant power on Y through 0.2 ohm, X empty: (120 + √(120² - 4 · 0.2 · 1560)) / 2 = 117.34 V, and
  // half of the loss, that of the neutral, on top of X.
  assert.deepEqual([body.second.planned.volts, body.planned.volts], ["117.3 V", "121.3 V"]);
  assert.deepEqual(
    [body.second.planned.amps, body.second.planned.neutral, body.planned.amps],
    ["13.3 A", "13.3 A", "0 A"],
  );
  const { x, y } = readingOf({ "read.y.volts": "116,9", "read.y.amps": "12.8" }, body);
  assert.deepEqual([x, y], [null, { volts: "116.9 V", amps: "12.8 A", outlet: null }]);
  const { record } = FILED.find(({ record: { kind } }) => kind === "plan");
  assert.equal(recordWrongAt({ ...record, body }), null);
});

test("the cord finder goes by the leg that binds, and by three wires where there are three (NEC 400.5)", () => {
  const own = { loads: {}, added: [], off: ["fan"] };
  const typed = { outlet: "14-50", supply: "utility", volts: 120, ohms: 0.2, breakerAmps: 50 };
  const cords = (between) => {
    const supply = { ...supplyTyped({ ...typed, between }, "14-50", TABLES), leg: "both" };
    return cordsMarkup(answered(own, supply), supply, {}, TABLES).text;
  };
  // 1,500 W at 108 V are 13.9 A: 12 V / 13.9 A less 0.22 ohm in 3.14 ohm per 1000 ft, there and back.
  assert.match(cords(null), /<b>Thinnest that does: 14 AWG, up to 102 ft, by leg Y\.<\/b>/);
  assert.match(cords(null), /16 AWG: does not carry these amps/);
  // The rig's main of 30 A lets more through than the 18 A of 14 AWG.
  assert.match(cords(null), /A breaker of 30 A does not guard so thin a cord/);
  assert.match(cords(208), /14 AWG: up to 102 ft, by leg Y.*column A/s);
});

test("the evening is the next one", () => {
  assert.equal(eveningAfter(new Date(2026, 10, 30, 14)).getTime(), new Date(2026, 10, 30, 19).getTime());
  assert.equal(eveningAfter(new Date(2026, 10, 30, 19)).getTime(), new Date(2026, 11, 1, 19).getTime());
});

const WIRED = {
  ...MAP,
  runs: MAP.runs.map((run) =>
    run.to === "g1" ? { ...run, feet: 25 } : run.to === "strip" ? { ...run, feet: 10 } : run,
  ),
};

test("what the rig's wires lose is in the volts at the load (NEC Chapter 9 Table 8)", () => {
  const hung = hungOn(WIRED, "Shore", TABLES);
  const items = itemsOf(hung, { loads: {}, added: [], off: ["fan"] }).filter(({ watts }) => watts === 1500);
  const typed = { outlet: "TT-30", supply: "utility", volts: 120, ohms: 0, breakerAmps: 30 };
  const { now, asked } = answerOf(
    { supply: supplyTyped(typed, "TT-30", TABLES), cords: [], limitAmps: 30, items },
    TABLES,
  );

  // 25 ft of 14 AWG and 10 ft of 16 AWG, there and back: 2 · (25 · 3.14 + 10 · 4.99) / 1000 ohm.
  assert.deepEqual(
    asked.branches.map(({ ohms }) => ohms?.toFixed(4)),
    ["0.2568"],
  );
  const [{ volts, amps }] = now.loads;
  assert.ok(Math.abs(now.volts_at_rig - amps * 0.2568 - volts) < 1e-6);
});

const TWO = { ...CHECK.body.check, outlet: "14-50", volts: { "x-n": "121 V", "y-n": "119 V", "x-y": "208 V" } };

test("both legs are planned where the rig's own plug is a 14-50, one where an adapter leads to a smaller", () => {
  const here = hereOf({ ...CHECK, body: { ...CHECK.body, check: TWO } }, undefined);
  const told = { source: "here", leg: "both" };

  const both = suppliedBy({ told }, here, "14-50", TABLES);
  const one = suppliedBy({ told }, here, "TT-30", TABLES);

  assert.deepEqual([both.leg, both.second], ["both", { volts_y: 119, volts_xy: 208 }]);
  assert.deepEqual([one.leg, one.second], ["x", null]);
  assert.deepEqual(suppliedBy({ told: { ...told, leg: "y" } }, here, "14-50", TABLES).second, null);
});

test("a wire with loads of both legs counts before the panel, as the cord does", () => {
  const rated = (id, ohms) => ({ id, what: "wire", name: id, amps: 60, source: "", ohms });
  const item = (id, leg, ...ways) => ({
    ...{ id, name: id, watts: 600, told: {}, isContinuous: false, isOn: true },
    hung: { from: "inlet", leg, rated: ways, guards: [] },
  });
  const feed = rated("feed", 0.02);
  const items = [item("one", "x", rated("own", 0.1), feed), item("other", "y", feed), item("third", null, feed)];
  const supply = suppliedBy(
    { told: { source: "typed", outlet: "14-50", leg: "both", source_ohms: "0.2" } },
    null,
    "14-50",
    TABLES,
  );
  const { asked, now } = answerOf({ supply, cords: [], limitAmps: null, items }, TABLES);

  assert.equal(asked.source_ohms, 0.22);
  assert.deepEqual(
    asked.branches.map(({ name, ohms }) => [name, ohms ?? null]),
    [
      ["own", 0.1],
      ["feed", null],
    ],
  );
  assert.deepEqual(
    asked.loads.map(({ leg }) => leg),
    ["x", "y", "x"],
  );
  assert.ok(now.legs.x.amps > now.legs.y.amps && now.neutral_amps > 4);
});

test("a check of a day to come is not what was read last, but where nothing else was read", () => {
  const rowOf = (id, observed_at) => ({
    ...{ id, saved: "server", seq: 1, account: null, problems: [], flags: [], hash: "" },
    record: { ...CHECK, id, kind: "arrival-check", corrects: null, observed_at },
  });
  const now = Date.parse("2026-11-05T12:00:00Z");
  const [before, ahead, toCome] = ["2026-11-04T08:00:00Z", "2026-11-05T12:10:00Z", "2027-11-05T08:00:00Z"].map(
    (at, i) => rowOf(`0${i}`, at),
  );

  assert.equal(lastArrival([before, toCome], now).id, "00");
  assert.equal(lastArrival([before, ahead, toCome], now).id, "01");
  assert.equal(lastArrival([toCome], now).id, "02");
});
