// The text of a rulebook, as a phone gets and keeps it: it judges where it is whole, and only there.

import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { quickHash } from "../../static/js/check/quick-hash.js";
import { assess, RulebookDamaged } from "../../static/js/engine/assess.js";
import { readRulebook } from "../../static/js/engine/rulebook.js";

const TEXT = readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8");
const { id } = JSON.parse(TEXT);
const ID = `"id":"${id}",`;
const CHECK = { outlet: "TT-30", look: [], volts: { "h-n": 120, "h-g": 120, "n-g": 0 } };
const own = crypto;

/** The browser, with a count of what it hashed, and one outside secure contexts, which hashes nothing. */
const hashed = [];
const subtle = {
  digest: (name, bytes) => {
    hashed.push(new TextDecoder().decode(bytes));
    return own.subtle.digest(name, bytes);
  },
};
const PLACES = { "with the browser's hash": { subtle }, "outside secure contexts": {}, "without any": undefined };

const verdictOf = async (text) => assess(CHECK, await readRulebook(text, quickHash)).verdict;
const isDamaged = (error) => error instanceof RulebookDamaged;
/** @param {string} text */
const named = (text) => `sha256:${createHash("sha256").update(text).digest("hex")}`;

for (const [place, found] of Object.entries(PLACES)) {
  const testThere = (name, act) =>
    test(`${name}, ${place}`, async (context) => {
      Object.defineProperty(globalThis, "crypto", { value: found, configurable: true });
      context.after(() => Object.defineProperty(globalThis, "crypto", { value: own, configurable: true }));
      await act();
    });

  testThere("the text that is served judges", async () => assert.equal(await verdictOf(TEXT), "use"));

  testThere("a text in another order and with spaces judges, as it holds the same", async () => {
    const { id: _, ...rest } = JSON.parse(TEXT);
    assert.equal(await verdictOf(JSON.stringify({ ...rest, id }, null, 1)), "use");
  });

  testThere("a text in which one character changed gives no verdict", async () => {
    const digits = [...TEXT.matchAll(/[0-9]/g)].map(({ index }) => index);
    for (let at = 0; at < digits.length; at += Math.floor(digits.length / 7)) {
      const here = digits[at];
      const other = TEXT[here] === "7" ? "8" : "7";
      await assert.rejects(verdictOf(TEXT.slice(0, here) + other + TEXT.slice(here + 1)), isDamaged);
    }
    await assert.rejects(verdictOf(TEXT.replace('"usable":{', '"usable" :{"grid":"always",')), isDamaged);
  });

  testThere("an id that stands elsewhere, twice or not at all gives no verdict", async () => {
    const without = TEXT.replace(ID, "");
    assert.notEqual(without, TEXT);
    const nested = without.replace('"limits":{', `"limits":{${ID}`);
    const inText = without.replace('"note":"', `"note":"${ID.replaceAll('"', String.raw`\"`)}`);
    for (const text of [without, nested, inText, nested.replace(/^\{/, `{${ID}`)])
      await assert.rejects(verdictOf(text), isDamaged);
  });

  testThere("a text cut short, or another in its place, gives no verdict", async () => {
    for (const share of [0, 0.5, 0.999])
      await assert.rejects(verdictOf(TEXT.slice(0, TEXT.length * share)), SyntaxError);
    for (const text of ["null", "0", '"x"', "[]", "{}", `{${ID.slice(0, -1)}}`])
      await assert.rejects(verdictOf(text), isDamaged);
  });

  testThere("a text that its id names gives no verdict where a part is missing", async () => {
    const short = TEXT.replace(ID, "").trimEnd().replace('"off-volts"', '"of-volts"');
    await assert.rejects(verdictOf(`{"id":"${named(short)}",${short.slice(1)}`), isDamaged);
  });
}

test("of the text that is served the browser hashes all but the id, once", async (context) => {
  Object.defineProperty(globalThis, "crypto", { value: { subtle }, configurable: true });
  context.after(() => Object.defineProperty(globalThis, "crypto", { value: own, configurable: true }));
  hashed.length = 0;
  const rulebook = await readRulebook(TEXT, quickHash);
  assess(CHECK, rulebook);

  assert.deepEqual(hashed, [TEXT.replace(ID, "").trimEnd()]);
  assert.equal(named(hashed[0]), id);
});
