// The tables that a phone keeps: what came damaged never takes the place of what is whole.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { get, put } from "../../static/js/outbox/db.js";
import { wiped } from "./phone-store.mjs";

const WHOLE = '{"id":"sha256:1","words":{}}';
const NEWER = '{"id":"sha256:2","words":{}}';
const RULES = { due: [{ id: "trip-monthly" }], looks: [], proving: [{ id: "unplugged" }] };
const read = async (text) => {
  const found = JSON.parse(text);
  if (!found.words) throw new Error("it is not whole.");
  return found;
};

let number = 0;
/** A page that is opened anew: its modules know nothing yet. */
const opened = (module) => {
  number += 1;
  return import(`../../static/js/sync/${module}.js?page=${number}`);
};
const answering = (body) => {
  globalThis.fetch = async () => Response.json(body);
};
/** Lets what is fetched for the next time come in. */
async function stillness() {
  for (let turn = 0; turn < 50; turn += 1) await new Promise(setImmediate);
}

beforeEach(wiped);

test("a rulebook that came damaged is neither used nor kept", async () => {
  await put("kept", "rulebook", WHOLE);
  answering({ id: "sha256:2" });
  const { loadRulebook, rulebook } = await opened("rulebook");
  await loadRulebook(read);
  await stillness();

  assert.equal(rulebook().id, "sha256:1");
  assert.equal(await get("kept", "rulebook"), WHOLE);
});

test("a newer rulebook takes the place of the kept one", async () => {
  await put("kept", "rulebook", WHOLE);
  answering(JSON.parse(NEWER));
  const { loadRulebook, rulebook } = await opened("rulebook");
  await loadRulebook(read);
  await stillness();

  assert.equal(rulebook().id, "sha256:2");
  assert.equal(await get("kept", "rulebook"), NEWER);
});

test("a rulebook that an earlier release kept serves without the server, and its text takes its place", async () => {
  await put("kept", "rulebook", JSON.parse(WHOLE));
  globalThis.fetch = async () => Promise.reject(new TypeError("There is no way to it."));
  const without = await opened("rulebook");
  await without.loadRulebook(read);
  await stillness();
  answering(JSON.parse(WHOLE));
  const { loadRulebook } = await opened("rulebook");
  await loadRulebook(read);
  await stillness();

  assert.equal(without.rulebook().id, "sha256:1");
  assert.equal(await get("kept", "rulebook"), WHOLE);
});

test("a rulebook that is damaged on the phone is fetched anew, and the same again is not read twice", async () => {
  await put("kept", "rulebook", '{"id":"sha256:1"}');
  answering(JSON.parse(WHOLE));
  const texts = [];
  const noting = (text) => {
    texts.push(text);
    return read(text);
  };
  const first = await opened("rulebook");
  await first.loadRulebook(noting);
  await stillness();
  const second = await opened("rulebook");
  await second.loadRulebook(noting);
  await stillness();

  assert.equal(first.rulebook().id, "sha256:1");
  assert.deepEqual(texts, ['{"id":"sha256:1"}', WHOLE, WHOLE]);
});

test("rules of the rig that are not whole on the phone are fetched anew", async () => {
  await put("kept", "rig-rules", { due: [], looks: [] });
  answering(RULES);
  const { rigRules } = await opened("rig-rules");

  assert.deepEqual(await rigRules(), RULES);
});

test("rules of the rig that came damaged are neither used nor kept", async () => {
  await put("kept", "rig-rules", RULES);
  answering({ ...RULES, proving: [{}] });
  const { rigRules } = await opened("rig-rules");
  const rules = await rigRules();
  await stillness();

  assert.deepEqual(rules, RULES);
  assert.deepEqual(await get("kept", "rig-rules"), RULES);
});
