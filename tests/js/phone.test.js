import assert from "node:assert/strict";
import test from "node:test";

import { age, levelOf } from "../../static/js/lib/ages.js";
import { clockWords } from "../../static/js/lib/clocks.js";
import { waitingMarkup } from "../../static/js/lib/waiting.js";
import { savedMarkup } from "../../static/js/outbox/saved.js";
import { cardMarkup } from "../../static/js/phone/card.js";
import { judgedAnew } from "../../static/js/phone/judging.js";
import { formOf, readText, withTyped } from "../../static/js/phone/mending.js";
import { kindOf, placeOf, whenOf } from "../../static/js/phone/naming.js";
import { valueAt, withValue } from "../../static/js/phone/pointers.js";

const HOUR = 3600000;
const NOW = Date.parse("2026-11-25T12:00:00Z");

test("what waits is an alarm after a day and a graver one after five", () => {
  assert.equal(levelOf(null, NOW), "none");
  assert.equal(levelOf(NOW - 24 * HOUR + 1, NOW), "none");
  assert.equal(levelOf(NOW - 24 * HOUR, NOW), "amber");
  assert.equal(levelOf(NOW - 120 * HOUR + 1, NOW), "amber");
  assert.equal(levelOf(NOW - 120 * HOUR, NOW), "red");
  assert.equal(levelOf(NOW + HOUR, NOW), "none", "a clock set back raises no alarm");
});

test("an age is said in hours up to two days, and in days from there", () => {
  assert.equal(age(NOW - 59 * 60000, NOW), "less than an hour");
  assert.equal(age(NOW - HOUR, NOW), "1 hour");
  assert.equal(age(NOW - 47 * HOUR, NOW), "47 hours");
  assert.equal(age(NOW - 48 * HOUR, NOW), "2 days");
  assert.equal(age(NOW + HOUR, NOW), "less than an hour");
});

test("clocks that differ by more than five minutes are spoken of, with the side on which the phone is", () => {
  assert.equal(clockWords(300), null);
  assert.equal(clockWords(-300), null);
  assert.equal(clockWords(null), null);
  assert.equal(clockWords(undefined), null);
  assert.equal(clockWords(720), "12 minutes behind");
  assert.equal(clockWords(-3600), "60 minutes ahead of");
  assert.equal(clockWords(-10 * 365 * 86400), "3650 days ahead of");
});

const waiting = (members) =>
  waitingMarkup(
    {
      count: 2,
      refused: 0,
      failing: 0,
      since: NOW - 6 * 24 * HOUR,
      level: "red",
      standing: { reached: true, signedIn: true, problem: null },
      ...members,
    },
    { now: NOW, isShort: false, isHere: false },
  ).text;

test("an alarm is a word and a shape, and one tap saves to a file", () => {
  assert.match(waiting({}), /#waits-red/);
  assert.match(waiting({}), /Waiting for more than 5 days/);
  assert.match(waiting({}), /2 records are on this phone only, the oldest 6 days old\. They are being sent\./);
  assert.match(waiting({}), /data-save/);
  assert.doesNotMatch(waiting({ level: "none" }), /data-save|#waits/);
});

test("why something waits is said: no way, nobody signed in, refused, failed on", () => {
  assert.match(waiting({ standing: { reached: false, signedIn: false, problem: "x" } }), /no way to the server now/);
  assert.match(waiting({ standing: { reached: true, signedIn: false, problem: null } }), /Sign in to send 2/);
  assert.match(waiting({ refused: 1 }), /1 needs a hand under “On this phone”/);
  assert.match(waiting({ failing: 2 }), /failed on them; they are tried again/);
});

test("where a record is saved says when the server fails on it", () => {
  assert.match(
    savedMarkup({ saved: "phone", problems: [], tries: 2 }).text,
    /data-saved="phone">Saved on this phone\. The server failed on it 2 times; it is tried again</,
  );
  assert.match(savedMarkup({ saved: "server", problems: [], tries: 2 }).text, />On the server</);
});

const record = () => ({
  id: "01920000-0000-7000-8000-000000000001",
  kind: "arrival-check",
  subject: null,
  observed_at: "2026-11-25T10:31:07.123+01:00",
  reason: null,
  corrects: null,
  body: {
    place: { park: "Alder Bend", site: "12" },
    check: { outlet: "TT-30", look: ["burnt"], volts: { "h-n": "1213" }, more: [{ volts: { "n-g": "0.4 V" } }] },
    ready: { dry: true, category: null },
    judgement: { verdict: "use", rulebook: "sha256:old", first: null },
  },
});

test("a record is called by its kind, its place and its time, whatever is wrong with it", () => {
  assert.equal(kindOf(record()), "Arrival check");
  assert.equal(kindOf({ kind: "trip-test", corrects: "x" }), "Trip test, corrected");
  assert.equal(kindOf({ kind: "leak-search" }), "Leak search");
  assert.equal(kindOf({}), "Record of no kind");
  assert.equal(placeOf(record(), []), "Alder Bend, site 12");
  assert.equal(
    placeOf({ kind: "plug-in", subject: record().id, body: {} }, [{ id: record().id, record: record() }]),
    "Alder Bend, site 12",
  );
  assert.equal(placeOf({ kind: "plug-in", subject: "unknown" }, []), "");
  assert.equal(whenOf(record()), "25 Nov 2026, 10:31");
  assert.equal(whenOf({ observed_at: "yesterday" }), "yesterday");
  assert.equal(whenOf({}), "no time");
});

test("a pointer leads to a value", () => {
  assert.equal(valueAt(record(), "/body/check/volts/h-n"), "1213");
  assert.equal(valueAt(record(), "/body/check/look/0"), "burnt");
  assert.equal(valueAt(record(), "/body/check/look/1"), undefined);
  assert.equal(valueAt({ "a/b": { "c~d": 1 } }, "/a~1b/c~0d"), 1);
  assert.equal(valueAt(record(), "/constructor"), undefined, "only a record's own members are looked at");
});

test("putting a value in leaves the record that was given as it is", () => {
  const before = record();
  const after = withValue(before, "/body/place/park", "Tamarack");

  assert.equal(after.body.place.park, "Tamarack");
  assert.deepEqual(before, record());
});

const PROBLEMS = [
  { at: "/body/check/volts/h-n", problem: "It is not a number with a unit." },
  { at: "/body/check/volts/h-n", problem: "It is out of range." },
  { at: "/body/check/look/0", problem: "It is not a sign." },
  { at: "/body/ready/dry", problem: "It is wrong." },
  { at: "/body/ready/meter_proved", problem: "It is missing." },
  { at: "/body/check", problem: "Nothing was read." },
  { at: "", problem: "The record is odd." },
];

test("a problem that leads to a value gets a field with what was typed; another is for the text", () => {
  const { fields, elsewhere, others } = formOf(record(), PROBLEMS);

  assert.deepEqual(
    fields.map(({ at, typed, choices }) => [at, typed, choices?.map(([value]) => value) ?? null]),
    [
      ["/body/check/volts/h-n", "1213", null],
      ["/body/check/look/0", "burnt", null],
      ["/body/ready/dry", "yes", ["yes", "no"]],
      ["/body/ready/meter_proved", "", null],
    ],
  );
  assert.deepEqual(fields[0].sentences, ["It is not a number with a unit.", "It is out of range."]);
  assert.deepEqual(
    elsewhere.map(({ sentence }) => sentence),
    ["Nothing was read.", "The record is odd."],
  );
  assert.ok(others.some(([name, value]) => name === "Place, park" && value === "Alder Bend"));
  assert.ok(!others.some(([, value]) => value === "1213"), "what has a field is not listed again");
});

test("what was typed comes into the record; a bare number gets its unit, and the rest stays", () => {
  const { fields } = formOf(record(), PROBLEMS);
  const mended = withTyped(record(), fields, {
    "/body/check/volts/h-n": "121,3",
    "/body/check/look/0": "burned",
    "/body/ready/dry": "no",
  });

  const wanted = record();
  wanted.body.check.volts["h-n"] = "121.3 V";
  wanted.body.check.look = ["burned"];
  wanted.body.ready.dry = false;
  assert.deepEqual(mended, wanted);
  assert.deepEqual(withTyped(record(), fields, {}), record());
  assert.deepEqual(
    withTyped(record(), fields, { "/body/check/volts/h-n": "1213" }),
    record(),
    "the same again changes nothing",
  );
});

test("what is not known here is taken out, and so is an emptied entry of a list", () => {
  const odd = { ...record(), extra: "x" };
  odd.body.check.look = ["burnt", "wet", "smoky"];
  const { fields } = formOf(odd, [
    { at: "/extra", problem: '"extra" is not known here; remove it.' },
    { at: "/body/check/look/0", problem: "No sign." },
    { at: "/body/check/look/2", problem: "No sign." },
  ]);

  assert.deepEqual(
    fields[0].choices.map(([value]) => value),
    ["out", "keep"],
  );
  const mended = withTyped(odd, fields, { "/extra": "out", "/body/check/look/0": "", "/body/check/look/2": "" });
  assert.deepEqual(mended.body.check.look, ["wet"]);
  assert.ok(!("extra" in mended));
  assert.deepEqual(withTyped(odd, fields, { "/extra": "keep" }), odd);
});

test("a reason that was missing is typed in, and an emptied one stays absent", () => {
  const { fields } = formOf(record(), [{ at: "/reason", problem: "Say why." }]);

  assert.equal(withTyped(record(), fields, { "/reason": " Read the wrong line " }).reason, "Read the wrong line");
  assert.equal(withTyped(record(), fields, { "/reason": " " }).reason, null);
});

test("a text that is no record is told, and nothing is made of it", () => {
  assert.match(readText("{").problem, /cannot be read/);
  assert.match(readText("[]").problem, /has to begin with/);
  assert.deepEqual(readText('{"id": "x"}'), { record: { id: "x" } });
});

const RULEBOOK = { id: "sha256:new", words: { verdicts: { use: {}, "do-not-use": {} }, skin: {} } };
const assess = (input) => ({
  verdict: input.volts?.["h-n"] ? "do-not-use" : "use",
  rulebook: "sha256:new",
  faults: [],
});

test("a mended reading is judged anew; a mended place is not", () => {
  const reading = withValue(record(), "/body/check/volts/h-n", "90 V");
  const judged = judgedAnew(reading, record(), { rulebook: RULEBOOK, supply: "utility", assess });
  assert.deepEqual(judged.record.body.judgement, { verdict: "do-not-use", rulebook: "sha256:new", first: null });

  const place = withValue(record(), "/body/place/park", "Tamarack");
  assert.deepEqual(judgedAnew(place, record(), { rulebook: null, supply: "utility", assess }), { record: place });
});

test("a mended reading that cannot be judged is not queued with the verdict of another", () => {
  const reading = withValue(record(), "/body/check/volts/h-n", "90 V");

  assert.match(judgedAnew(reading, record(), { rulebook: null, supply: "utility", assess }).problem, /rulebook/);
});

test("a card says what it is, what the server said, how often it was tried and when again", () => {
  const refused = { id: record().id, record: record(), saved: "refused", problems: PROBLEMS.slice(0, 1) };
  assert.match(cardMarkup(refused, [], NOW).text, /Arrival check: Alder Bend, site 12/);
  assert.match(cardMarkup(refused, [], NOW).text, /Refused by the server/);
  assert.match(cardMarkup(refused, [], NOW).text, /Check, volts, h-n:<\/b> It is not a number with a unit\./);

  const failing = { ...refused, saved: "phone", problems: [], tries: 3, not_before: NOW + HOUR };
  assert.match(cardMarkup(failing, [], NOW).text, /The server failed on it/);
  assert.match(cardMarkup(failing, [], NOW).text, /Tried 3 times\. Next try \d\d:\d\d; the others go on without it\./);
});
