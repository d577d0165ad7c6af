import assert from "node:assert/strict";
import test from "node:test";

import { distanceText, metresApart } from "../../static/js/sites/near.js";
import { listMarkup, placeMarkup } from "../../static/js/sites/page.js";
import { isFound, lastYearAt, placesOf, voltsByHour } from "../../static/js/sites/places.js";
import { reportOf } from "../../static/js/sites/report.js";

const checkAt = (id, at, place, { volts = "121.3 V", verdict = "use", ...members } = {}) => ({
  id,
  record: {
    id,
    kind: "arrival-check",
    subject: null,
    corrects: null,
    made_by: "Kim Example",
    observed_at: at,
    body: {
      place,
      check: { outlet: "TT-30", supply: "utility", breaker_amps: "30 A", volts: { "h-n": volts }, look: [] },
      judgement: { verdict, rulebook: "sha256:0", first: "correct" },
      not_tested: [],
    },
    ...members,
  },
});
const TWELVE = { park: "Alder Bend", site: "12" };
const ROWS = [
  checkAt("a", "2025-11-20T08:10:00.000+01:00", TWELVE),
  checkAt("b", "2026-06-01T18:00:00.000+02:00", { park: "Gull Point", site: "3" }, { verdict: "do-not-use" }),
  checkAt("c", "2026-11-25T08:50:00.000+01:00", { park: "alder  bend ", site: "12" }, { volts: "118.0 V" }),
  checkAt("d", "2026-11-24T08:50:00.000+01:00", { park: "", site: " " }),
];
const NOW = Date.parse("2026-11-25T12:00:00Z");
const NOTHING = { hasPosition: false, ohmsOf: () => null };

test("checks of one place stand together however it was written, the place met last first", () => {
  const places = placesOf(ROWS);

  assert.deepEqual(
    places.map(({ park, checks }) => [park, checks.map(({ id }) => id)]),
    [
      ["alder  bend", ["c", "a"]],
      ["Gull Point", ["b"]],
    ],
  );
});

test("a correction that names another site moves the check there", () => {
  const moved = checkAt("e", "2026-06-01T18:00:00.000+02:00", TWELVE, { corrects: "b", reason: "wrong site" });

  assert.deepEqual(
    placesOf([...ROWS, moved]).map(({ checks }) => checks.map(({ id }) => id)),
    [["c", "e", "a"]],
  );
});

test("last year's site is asked about in the same weeks of the year, and in no others", () => {
  const places = placesOf(ROWS);

  assert.equal(lastYearAt(places, NOW)?.site, "12");
  assert.equal(lastYearAt(places, NOW + 60 * 86_400_000), null);
});

test("volts stand by the hour of the clock there, summer time or not", () => {
  const [place] = placesOf([
    ...ROWS,
    checkAt("f", "2026-07-01T08:05:00.000+02:00", TWELVE, { volts: "110.0 V" }),
    checkAt("g", "2026-07-01T19:05:00.000+02:00", TWELVE, { volts: "108.5 V" }),
  ]);

  assert.deepEqual(voltsByHour(place), [
    { hour: "08", low: 110, high: 121.3, count: 3 },
    { hour: "19", low: 108.5, high: 108.5, count: 1 },
  ]);
});

test("every word that is looked for has to be found", () => {
  const [place] = placesOf(ROWS);

  assert.ok(isFound(place, "bend 2025"));
  assert.ok(isFound(place, ""));
  assert.ok(!isFound(place, "bend gull"));
});

test("the report holds the readings, and nobody's name and no verdict", () => {
  const [place] = placesOf(ROWS);
  place.checks[0].record.body.check.loaded = { amps: "12 A", volts: { "h-n": "116.5 V" } };
  place.checks[0].record.body.check.look = ["burned", "cover-missing"];
  const text = reportOf(place, place.checks[0]);

  for (const told of ["alder  bend, site 12", "25 Nov 2026, 08:50", "TT-30", "30 A", "118.0 V", "With a load of 12 A:"])
    assert.ok(text.includes(told), told);
  assert.match(text, /Damage: burned, cover missing/);
  assert.match(text, /It is no inspection/);
  assert.doesNotMatch(text, /Kim|verdict|\buse\b|safe/i);
});

test("what was not looked for is not said to be undamaged", () => {
  const [place] = placesOf(ROWS);
  delete place.checks[0].record.body.check.look;

  assert.match(reportOf(place, place.checks[0]), /Damage: not looked for/);
});

test("a degree of latitude is 111 km on a sphere of 6371 km, and of longitude half of that at 60 degrees", () => {
  // 2 pi 6371 km / 360 = 111.19 km.
  assert.ok(Math.abs(metresApart({ lat: 10, lon: 5 }, { lat: 11, lon: 5 }) - 111_195) < 10);
  assert.ok(Math.abs(metresApart({ lat: 60, lon: 5 }, { lat: 60, lon: 6 }) - 55_597) < 50);
  assert.deepEqual([84, 2340, 111_195].map(distanceText), ["80 m away", "2.3 km away", "111 km away"]);
});

test("what a person typed enters the page as text", () => {
  const [place] = placesOf([checkAt("a", "2026-11-20T08:10:00.000+01:00", { park: "<img src=x>", site: "1" })]);
  const about = { lastYear: place, away: new Map([[place.key, 84]]), all: 1 };

  for (const { text } of [listMarkup([place], about), placeMarkup(place, NOTHING)]) {
    assert.doesNotMatch(text, /<img/);
    assert.match(text, /&lt;img/);
  }
});

test("photos of any version of a check stand at its place, with what they show", () => {
  const photo = {
    id: "p",
    record: {
      id: "p",
      kind: "photo",
      subject: "a",
      corrects: null,
      observed_at: ROWS[0].record.observed_at,
      body: { what: "The latch" },
    },
  };
  const [place] = placesOf([...ROWS, photo]);

  assert.match(placeMarkup(place, NOTHING).text, /The latch, 20 Nov 2025/);
});

test("a note stands at its place alone, newest first, and in no report", () => {
  const noteAt = (id, at, where, note) => ({
    id,
    record: { id, kind: "site-note", subject: null, corrects: null, observed_at: at, body: { place: where, note } },
  });
  const rows = [
    ...ROWS,
    noteAt("n", "2026-06-01T18:00:00.000+02:00", { park: "ALDER Bend", site: "12" }, "Breaker is stiff"),
    noteAt("o", "2026-06-02T18:00:00.000+02:00", TWELVE, "Wasps behind the door"),
    noteAt("p", "2026-06-02T18:00:00.000+02:00", { park: "Elsewhere", site: "1" }, "Never met"),
  ];

  const [place, other] = placesOf(rows);

  assert.deepEqual(
    place.notes.map(({ id }) => id),
    ["o", "n"],
  );
  assert.deepEqual(other.notes, []);
  assert.match(placeMarkup(place, NOTHING).text, /Wasps behind the door, 2 Jun 2026/);
  assert.doesNotMatch(reportOf(place, place.checks[0]), /Wasps/);
});
