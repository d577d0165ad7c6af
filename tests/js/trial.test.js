import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import test from "node:test";

import { STATE_WORDS, STEPS, stateOf } from "../../static/js/trial/states.js";
import { newTrial, resultOf, stepIn, withFailure, withSeen } from "../../static/js/trial/trial.js";
import { isOwnMachine, told, tryKeypad } from "../../static/js/trial/tries.js";
import { said } from "../../static/js/trial/words.js";

const AT = "2026-11-30T10:00:00.000+01:00";
const LATER = "2026-11-30T10:05:00.000+01:00";
const MARKED = { marked_at: AT, rows_written: 10 };

/** By step: what is seen to work, and each smallest change to it that no longer is. */
const CASES = {
  store: [
    { opened: true, read_back: true, log_opened: true },
    [{ opened: false }, { read_back: false }, { log_opened: false }],
  ],
  "strict-save": [
    { asked: 5, saved: 5, durability: "strict", milliseconds: [2.5, 3] },
    [{ saved: 4 }, { durability: null }, { durability: "relaxed" }],
  ],
  kill: [
    { ...MARKED, rows_there: 10, small_mark: false, closed: "closed" },
    [{ rows_there: 9 }, { rows_there: 0 }, { marked_at: undefined }],
  ],
  stay: [{ offered: true, granted: true }, [{ granted: false }, { offered: false, granted: undefined }]],
  camera: [
    { type: "image/jpeg", bytes: 9, kept: { type: "image/jpeg", bytes: 5, width: 4, height: 3 } },
    [{ kept: undefined }],
  ],
  notification: [
    { offered: true, permission: "granted", shown: true, noticed: true },
    [{ noticed: false }, { shown: false }, { permission: "denied", shown: undefined }, { shown: undefined }],
  ],
  reach: [
    { secure: true, scheme: "https", worker_registered: true },
    [{ secure: false }, { worker_registered: false }],
  ],
  keypad: [
    { typed: "1,5", read_as: "1.5", decimal_key: "comma" },
    [{ read_as: null }, { read_as: "15" }, { decimal_key: "none" }],
  ],
};

test("each step is seen to work only while all that it needs was observed", () => {
  assert.deepEqual(Object.keys(CASES), STEPS);
  for (const [step, [seen, changes]] of Object.entries(CASES)) {
    assert.equal(stateOf(step, seen), "seen-to-work", step);
    for (const change of changes) {
      assert.equal(stateOf(step, { ...seen, ...change }), "seen-not-to-work", `${step} ${JSON.stringify(change)}`);
    }
  }
});

test("what waits for the person is begun, and nothing more", () => {
  assert.equal(stateOf("kill", MARKED), "begun");
  assert.equal(stateOf("kill", { ...MARKED, rows_there: 10 }), "begun", "nobody said how it was closed");
  assert.equal(stateOf("kill", { ...MARKED, rows_there: 10, closed: "loaded-again" }), "begun");
  assert.equal(stateOf("notification", { offered: true, permission: "default" }), "begun");
  assert.equal(stateOf("notification", { offered: true, permission: "granted", shown: true }), "begun");
  assert.equal(stateOf("keypad", { typed: "1,5", read_as: "1.5" }), "begun");
});

test("a comma and a dot are read alike, and a number without its sign is told as another", () => {
  assert.deepEqual(tryKeypad("1,5"), { typed: "1,5", read_as: "1.5" });
  assert.deepEqual(tryKeypad("1.5"), { typed: "1.5", read_as: "1.5" });
  assert.deepEqual(tryKeypad("15"), { typed: "15", read_as: "15" });
  assert.deepEqual(tryKeypad("1'5"), { typed: "1'5", read_as: null });
});

test("a trial goes on from what was tried, and a person's word stands beside what the page saw", () => {
  const [seen] = CASES.store;
  const tried = withSeen(newTrial(AT), "store", seen, { at: LATER, took_ms: 12.345 });
  const failed = withFailure(tried, "store", { at: LATER, note: `  ${"x".repeat(600)}` });

  assert.deepEqual(stepIn(tried, "store"), {
    step: "store",
    state: "seen-to-work",
    told_by: "page",
    at: LATER,
    took_ms: 12.3,
    note: "",
    seen,
  });
  assert.equal(stepIn(failed, "store").told_by, "person");
  assert.equal(stepIn(failed, "store").state, "seen-not-to-work");
  assert.equal(stepIn(failed, "store").note.length, 500);
  assert.deepEqual(stepIn(failed, "store").seen, seen);
  assert.equal(stepIn(failed, "camera").state, "not-tried");
  assert.equal(stepIn(newTrial(AT), "store").at, null);
});

test("the result holds every step in order, tried or not, and nothing of where one was in the trial", () => {
  const phone = { user_agent: "some browser", display: "browser-tab" };
  const result = resultOf({ ...newTrial(AT), screen: "kill" }, phone, LATER);

  assert.deepEqual(
    result.steps.map(({ step }) => step),
    STEPS,
  );
  assert.equal(result.began_at, AT);
  assert.equal(result.written_at, LATER);
  assert.equal("screen" in result && typeof result.screen === "string", false);
});

test("the schema names the steps, the states and the members that the script has", async () => {
  const schema = JSON.parse(await readFile(new URL("../../schemas/phone-trial.schema.json", import.meta.url), "utf8"));
  const named = schema.properties.steps.prefixItems.map(({ $ref }) => schema.$defs[$ref.split("/").at(-1)]);

  assert.deepEqual(
    named.map(({ properties }) => properties.step.const),
    STEPS,
  );
  assert.deepEqual(schema.$defs.state.enum.toSorted(), Object.keys(STATE_WORDS).toSorted());
});

test("what was not observed is not spoken of", () => {
  for (const step of STEPS) assert.deepEqual(said(step, {}), [], step);
  assert.deepEqual(said("store", { opened: true }), ["A store of its own opened."]);
  assert.deepEqual(said("store", { opened: false, error: "E: no" }), [
    "A store of its own did not open.",
    "The browser said: E: no",
  ]);
});

test("that a page came from the phone is not said while the server answers", () => {
  const there = { ...MARKED, rows_there: 10, worker_in_charge: true };
  const cameFromHere = (seen) => said("kill", seen).join(" ").includes("come from this phone");

  assert.equal(cameFromHere({ ...there, server_answered: false }), true);
  assert.equal(cameFromHere({ ...there, server_answered: true }), false);
  assert.equal(cameFromHere({ ...there, server_answered: false, worker_in_charge: false }), false);
});

test("what was lost is counted, and loading the page again is called that", () => {
  const lost = said("kill", { ...MARKED, rows_there: 7, small_mark: false, navigation: "reload" }).join(" ");

  assert.match(lost, /7 of 10 rows were there again/);
  assert.match(lost, /small mark beside the store was lost/);
  assert.match(lost, /only loaded again/);
});

test("only the machine itself is taken for the machine itself", () => {
  for (const own of ["127.0.0.1", "127.8.0.1", "localhost", "camp.localhost", "[::1]"])
    assert.ok(isOwnMachine(own), own);
  for (const other of ["127.0.0.1.example", "10.0.0.1", "localhost.example", "notlocalhost", "[::2]"])
    assert.equal(isOwnMachine(other), false, other);
});

test("an error is told with its name, and no longer than the schema lets it be", () => {
  assert.deepEqual(told(new TypeError("no")), { error: "TypeError: no" });
  assert.equal(told(new Error("x".repeat(900))).error.length, 300);
});
