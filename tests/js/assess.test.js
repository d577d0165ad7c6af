// Situations and what must come of them; tests/engine/test_cases.py reads the same file.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { assess, BadInput, RulebookDamaged } from "../../static/js/engine/assess.js";
import { sha256Hex } from "../../static/js/engine/sha256.js";
import { skinLevel } from "../../static/js/engine/skin.js";

const read = (path) => JSON.parse(readFileSync(new URL(path, import.meta.url), "utf8"));
const rulebook = read("../../schemas/rulebook.json");
const { cases, bad } = read("../cases/checks.json");
const { cases: skins } = read("../cases/skin.json");

for (const one of cases) {
  test(one.name, () => {
    const answer = assess(one.check, rulebook);
    const found = answer.findings.map(({ id }) => id);
    assert.deepEqual([answer.verdict, answer.faults[0]?.id ?? null], [one.verdict, one.first]);
    assert.ok(one.findings.every((id) => found.includes(id)));
    assert.ok(!one.not.some((id) => found.includes(id)));
  });
}

for (const one of bad) {
  test(`bad input: ${one.name}`, () => {
    assert.throws(
      () => assess(one.check, rulebook),
      (error) =>
        error instanceof BadInput &&
        assert.deepEqual(
          error.problems.map(({ at }) => at),
          one.at,
        ) === undefined,
    );
  });
}

test("a rulebook with one digit changed gives no verdict", () => {
  const damaged = structuredClone(rulebook);
  damaged.limits["low-stop"].value = 14;
  assert.throws(() => assess(cases[0].check, damaged), RulebookDamaged);
});

test("a rulebook without a limit gives no verdict", () => {
  for (const id of Object.keys(rulebook.limits)) {
    const { id: _, ...body } = structuredClone(rulebook);
    delete body.limits[id];
    assert.throws(() => assess(cases[0].check, body), RulebookDamaged);
  }
});

test("no rulebook gives no verdict", () => {
  for (const none of [null, undefined, {}, "x"]) assert.throws(() => assess(cases[0].check, none), RulebookDamaged);
});

// FIPS 180-4 examples: "abc", the empty message, and the message of two blocks.
test("SHA-256 of the examples of FIPS 180-4", () => {
  assert.equal(sha256Hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  assert.equal(sha256Hex(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  assert.equal(
    sha256Hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
  );
});

for (const { name, skin, supply, level, limit_volts, words } of skins) {
  test(`the rig's skin: ${name}`, () => {
    const tried = { volts: null, detected: null, tingle: false, ...skin, supply };
    const judged = skinLevel(tried, rulebook);
    assert.deepEqual([judged.level, judged.limit_volts, judged.words], [level, limit_volts, words]);
    assert.equal(judged.sentence, rulebook.words.skin[words]);
  });
}
