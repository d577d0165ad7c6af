import assert from "node:assert/strict";
import test from "node:test";
import { differing } from "../../deploy/javascript/counted.mjs";

const foldersIn = (found, noted) => differing(found, noted).map(({ folder }) => folder);

test("a folder with as many type errors as it may have is as it should be", () => {
  assert.deepEqual(differing({ check: 3, rig: 1 }, { check: 3, rig: 1 }), []);
});

test("a folder with more type errors than noted is named, and one that is not noted may have none", () => {
  assert.deepEqual(foldersIn({ check: 4, engine: 1, rig: 1 }, { check: 3, rig: 1 }), ["check", "engine"]);
});

test("a folder with fewer type errors than noted is named, so that its number falls", () => {
  assert.deepEqual(foldersIn({ check: 2 }, { check: 3, rig: 1 }), ["check", "rig"]);
  assert.match(differing({ check: 2 }, { check: 3 })[0].sentence, /Write 2 into /);
  assert.match(differing({}, { check: 3 })[0].sentence, /Take its line out of /);
});
