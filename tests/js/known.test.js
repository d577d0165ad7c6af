import assert from "node:assert/strict";
import { createRequire } from "node:module";
import test from "node:test";

createRequire(new URL("../../deploy/package.json", import.meta.url))("fake-indexeddb/auto");
globalThis.fetch = () => Promise.resolve(Response.json({}, { status: 503 })); // no server is to be had
const { put } = await import("../../static/js/outbox/db.js");
const { discard } = await import("../../static/js/outbox/mending.js");
const { keep } = await import("../../static/js/outbox/queue.js");
const { known } = await import("../../static/js/round/known.js");

const ID = "019ac000-0000-7000-8000-000000000001";
const RIG = {
  id: ID,
  kind: "rig",
  rig: ID,
  subject: null,
  observed_at: "2026-11-25T10:00:00.000+01:00",
  made_by: "",
  instrument: null,
  body: { name: "Small trailer", outlet: "TT-30", note: "" },
  corrects: null,
  reason: null,
};

test("what is known of a rig ends with the rig, as where another account signed in elsewhere", async () => {
  await put("kept", "rig-rules", { due: [], looks: [], proving: [] });
  await keep(RIG, null);
  const before = await known(ID, "2026-11-25");

  await discard([ID]);

  assert.equal(before?.rig.name, "Small trailer");
  assert.equal(await known(ID, "2026-11-25"), null);
});
