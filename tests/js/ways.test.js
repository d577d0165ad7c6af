import assert from "node:assert/strict";
import test from "node:test";

import { waysFor } from "../../static/js/rig/ways.js";

const hrefs = (rigs, hasAccount) => Object.values(waysFor(rigs, hasAccount)).map(({ href }) => href);

test("without a rig each use that needs one leads to what must come first, and says so", () => {
  assert.deepEqual(new Set(hrefs([], false)), new Set(["/sign-in?next=/rigs/new"]));
  assert.deepEqual(new Set(hrefs([], true)), new Set(["/rigs/new"]));
  for (const hasAccount of [false, true])
    for (const [use, { note }] of Object.entries(waysFor([], hasAccount))) assert.match(note, /^First /, use);
});

test("with one rig each use leads straight to it, with several to where one is chosen", () => {
  assert.deepEqual(hrefs(["a"], true), ["/round#rig=a", "/changes/new#rig=a", "/rigs/a/record"]);
  assert.deepEqual(hrefs(["a", "b"], true), ["/round", "/changes/new", "/rigs"]);
});
