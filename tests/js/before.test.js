import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { beforeMarkup, earlierOf, readOf } from "../../static/js/check/before.js";

const RULEBOOK = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const HERE = { park: "Alder Bend", site: "12" };
const METER = { input: "high-impedance", accuracy_percent: "1.0 %", accuracy_volts: "0.3 V" };

/** A load of 12 A that takes so many volts. */
const checkOf = (lost, volts = 121) => ({
  outlet: "TT-30",
  supply: "utility",
  where: "pedestal",
  meter: METER,
  volts: { "h-n": `${volts.toFixed(1)} V`, "h-g": `${volts.toFixed(1)} V`, "n-g": "0.0 V" },
  loaded: {
    amps: "12 A",
    amps_percent: "5 %",
    volts: { "h-n": `${(volts - lost).toFixed(1)} V`, "n-g": `${(lost / 2).toFixed(1)} V` },
  },
});
const bodyOf = (lost, { place = HERE, volts } = {}) => ({
  place,
  check: checkOf(lost, volts),
  judgement: { verdict: "use", rulebook: RULEBOOK.id, first: "correct" },
  not_tested: [],
});
const rowOf = (id, at, body, members = {}) => ({
  id,
  record: { id, kind: "arrival-check", subject: null, corrects: null, observed_at: at, body, ...members },
});
const now = (body, members = {}) => ({
  kind: "arrival-check",
  subject: null,
  body,
  at: "2026-11-25T10:00:00.000+01:00",
  id: null,
  ...members,
});
const told = (rows, about) => {
  const { pointed, rest } = beforeMarkup(rows, about, RULEBOOK);
  return `${pointed.text}${rest.text}`.replace(/\s+/g, " ");
};
const LAST_YEAR = "2025-11-20T10:00:00.000+01:00";

test("a loop that more than both errors lie between is pointed out, with both readings", () => {
  const text = told([rowOf("a", LAST_YEAR, bodyOf(4.8))], now(bodyOf(10.8)));

  // 4.8 V / 12 A = 0.40 ohm, 10.8 V / 12 A = 0.90 ohm.
  assert.match(text, /data-apart>Loop here: 0\.40 ± 0\.07 ohm on 20 Nov 2025, in this check 0\.90 ± 0\.10 ohm\./);
  assert.match(text, /higher by more than both readings may be off by/);
  assert.match(text, /The verdict is made from this check’s readings alone/);
});

test("readings of one value are shown and not pointed out", () => {
  const text = told([rowOf("a", LAST_YEAR, bodyOf(4.8))], now(bodyOf(5.4)));

  assert.match(text, /Loop here: 0\.40 ± 0\.07 ohm on 20 Nov 2025, in this check 0\.45/);
  assert.doesNotMatch(text, /data-apart/);
});

test("volts that moved are pointed out as what moves with the hour", () => {
  const text = told([rowOf("a", LAST_YEAR, bodyOf(2.4))], now(bodyOf(2.4, { volts: 113 })));

  assert.match(text, /data-apart>Volts here: 121\.0 ± 1\.5 V on 20 Nov 2025, in this check 113\.0 ± 1\.4 V/);
  assert.match(text, /Volts move with the hour/);
});

test("another site, another outlet, a later check and the check itself are no past of it", () => {
  const about = now(bodyOf(4.8), { id: "self" });
  const other = bodyOf(4.8);
  other.check.outlet = "5-20";
  const rows = [
    rowOf("site", LAST_YEAR, bodyOf(4.8, { place: { park: "Alder Bend", site: "13" } })),
    rowOf("outlet", LAST_YEAR, other),
    rowOf("later", "2026-12-25T10:00:00.000+01:00", bodyOf(4.8)),
    rowOf("self", "2026-11-25T09:00:00.000+01:00", bodyOf(4.8)),
  ];

  assert.deepEqual(earlierOf(rows, about), []);
  assert.equal(told(rows, about), "");
});

test("a place without a site is none that was met before", () => {
  const nowhere = { park: "Alder Bend", site: " " };

  assert.deepEqual(
    earlierOf([rowOf("a", LAST_YEAR, bodyOf(1, { place: nowhere }))], now(bodyOf(1, { place: nowhere }))),
    [],
  );
});

test("the place is known again however it is written", () => {
  const shouted = { park: " ALDER  bend", site: "12" };

  assert.equal(earlierOf([rowOf("a", LAST_YEAR, bodyOf(1, { place: shouted }))], now(bodyOf(1))).length, 1);
});

test("of a check that was corrected what counts is held against", () => {
  const wrong = rowOf("a", LAST_YEAR, bodyOf(10.8));
  const right = rowOf("b", LAST_YEAR, bodyOf(4.8), { corrects: "a", reason: "misread" });

  assert.match(told([wrong, right], now(bodyOf(4.8))), /Loop here: 0\.40 ± 0\.07 ohm on 20 Nov 2025/);
});

test("an outlet of the rig is known by any version of its record", () => {
  const outlet = rowOf("o1", LAST_YEAR, { name: "Galley" }, { kind: "outlet" });
  const renamed = rowOf("o2", LAST_YEAR, { name: "Kitchen" }, { kind: "outlet", corrects: "o1", reason: "name" });
  const tested = rowOf("t", LAST_YEAR, bodyOf(4.8), { kind: "outlet-test", subject: "o1" });
  const about = now(bodyOf(4.8), { kind: "outlet-test", subject: "o2" });

  assert.deepEqual(
    earlierOf([outlet, renamed, tested], about).map(({ id }) => id),
    ["t"],
  );
});

test("what is not a check any more shows nothing", () => {
  assert.deepEqual(readOf({ outlet: "?", volts: { "h-n": "x" } }, LAST_YEAR, RULEBOOK), {});
});
