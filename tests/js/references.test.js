import assert from "node:assert/strict";
import test from "node:test";

import { renamed, speaksOf, waitedFor } from "../../static/js/outbox/references.js";

const ID = "01a21293-b600-7abc-8000-000000000001";
const FRESH = "01a21293-b600-7abc-8000-000000000002";
const refused = (record, at) => ({ id: "x", record, saved: "refused", problems: [{ at, problem: "…" }] });

test("a number is replaced wherever it stands by itself, and nowhere else", () => {
  const record = { rig: ID, body: { dead: [ID, "other"], note: `see ${ID}` }, corrects: null };

  assert.deepEqual(renamed(record, ID, FRESH), {
    rig: FRESH,
    body: { dead: [FRESH, "other"], note: `see ${ID}` },
    corrects: null,
  });
  assert.ok(speaksOf(record, ID));
  assert.ok(!speaksOf({ note: `see ${ID}` }, ID));
  assert.ok(!speaksOf(undefined, ID));
});

test("a record waits for another where it was refused for that one's sake", () => {
  const there = new Set([ID]);

  assert.ok(waitedFor(refused({ rig: ID }, "/rig"), there));
  assert.ok(waitedFor(refused({ body: { dead: [ID] } }, "/body/dead/0"), there));
  assert.ok(waitedFor(refused({ body: { steps: [{ record: ID }] } }, "/body/steps/0/record"), there));
  assert.ok(waitedFor(refused({ body: { parts: [{ outlet: ID }] } }, "/body/parts/0/outlet"), there));
  assert.ok(!waitedFor(refused({ rig: ID }, "/body/note"), there));
  assert.ok(!waitedFor(refused({ rig: FRESH }, "/rig"), there));
  assert.ok(!waitedFor({ ...refused({ rig: ID }, "/rig"), saved: "phone" }, there));
});
