// The tables that a phone keeps: what came damaged never takes the place of what is whole.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { get, put } from "../../static/js/outbox/db.js";
import { wiped } from "./phone-store.mjs";

const WHOLE = { id: "sha256:1", words: {} };
const RULES = { due: [{ id: "trip-monthly" }], looks: [], proving: [{ id: "unplugged" }] };
const check = ({ words }) => {
  if (!words) throw new Error("it is not whole.");
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
  await loadRulebook(check);
  await stillness();

  assert.deepEqual(rulebook(), WHOLE);
  assert.deepEqual(await get("kept", "rulebook"), WHOLE);
});

test("a newer rulebook takes the place of the kept one", async () => {
  await put("kept", "rulebook", WHOLE);
  answering({ ...WHOLE, id: "sha256:2" });
  const { loadRulebook, rulebook } = await opened("rulebook");
  await loadRulebook(check);
  await stillness();

  assert.equal(rulebook().id, "sha256:2");
  assert.equal((await get("kept", "rulebook")).id, "sha256:2");
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
