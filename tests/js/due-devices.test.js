import assert from "node:assert/strict";
import test from "node:test";

import { dueDevices } from "../../static/js/outbox/due-devices.js";

const TODAY = "2026-11-25";
const device = (id, corrects = null) => ({ id, record: { kind: "device", rig: "r", corrects, body: { name: id } } });
const tested = (id, subject, day, tripped = true, corrects = null, by = "button") => ({
  id,
  record: { kind: "trip-test", subject, corrects, observed_at: `${day}T10:00:00.000+00:00`, body: { by, tripped } },
});
const states = (rows) => dueDevices(rows, TODAY).map(({ id, state, failed }) => `${id} ${failed ? "failed" : state}`);

test("a device that was never tested waits", () => assert.deepEqual(states([device("d")]), ["d never"]));

test("a test this month lets it rest, an older one does not", () => {
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-11-01")]), []);
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-10-25")]), ["d today"]);
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-10-24")]), ["d overdue"]);
});

test("a press that was not carried out is no test", () => {
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-11-20", null)]), ["d never"]);
});

test("a device that did not trip stays on the list", () => {
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-11-20", false)]), ["d failed"]);
});

test("a corrected test counts as it was corrected, and a corrected device keeps its tests", () => {
  const rows = [device("d"), tested("t", "d", "2026-11-20"), tested("u", "d", "2026-09-20", true, "t"), device("e", "d")];

  assert.deepEqual(states(rows), ["d overdue"]);
});

test("a plug-in tester is no test of the month, whether the device tripped or not", () => {
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-11-20", true, null, "external")]), ["d never"]);
  assert.deepEqual(states([device("d"), tested("t", "d", "2026-11-20", false, null, "external")]), ["d never"]);
});
