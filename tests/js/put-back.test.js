// What was taken off a phone by hand comes back as it was.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import test from "node:test";

createRequire(new URL("../../deploy/package.json", import.meta.url))("fake-indexeddb/auto");
const { get, put, remove } = await import("../../static/js/outbox/db.js");
const { discardPhoto, putBack } = await import("../../static/js/outbox/photo-rows.js");

const KEY = "ab".repeat(32);
const PHOTO = { hash: KEY, type: "image/png", width: 1, height: 1, bytes: 3, data: new ArrayBuffer(3), saved: "phone" };

for (const [whose, said] of [
  ["of nobody", { account: null }],
  ["of an earlier release, in which nobody stands,", {}],
]) {
  test(`a photo ${whose} that was discarded is put back`, async () => {
    await put("photos", KEY, { ...PHOTO, ...said });

    const row = await discardPhoto(KEY);

    assert.equal(await get("photos", KEY), undefined);
    await putBack(row);
    assert.deepEqual(await get("photos", KEY), { ...PHOTO, ...said });
  });
}

test("a photo of another account than the one at the phone is not put back", async () => {
  await put("kept", "account", "ann");
  await remove("photos", KEY);

  await putBack({ ...PHOTO, account: "ben" });

  assert.equal(await get("photos", KEY), undefined);
});
