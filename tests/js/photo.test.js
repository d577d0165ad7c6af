import assert from "node:assert/strict";
import { test } from "node:test";
import { keptSize } from "../../static/js/check/photo.js";
import { isWhole, photoRecords } from "../../static/js/outbox/photos.js";

// SHA-256 of "abc": FIPS 180-4, example of NIST.
const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const data = () => Uint8Array.from([97, 98, 99]).buffer;

test("a photo is kept at most 1600 pixels long, and never larger than it is", () => {
  assert.deepEqual(keptSize(4000, 3000), { width: 1600, height: 1200 });
  assert.deepEqual(keptSize(3000, 4000), { width: 1200, height: 1600 });
  assert.deepEqual(keptSize(800, 600), { width: 800, height: 600 });
  assert.deepEqual(keptSize(20000, 1), { width: 1600, height: 1 });
});

test("a photo is whole while its bytes are those that were kept", () => {
  assert.equal(isWhole({ data: data(), bytes: 3, hash: ABC }), true);
  assert.equal(isWhole({ data: data(), bytes: 4, hash: ABC }), false);
  assert.equal(isWhole({ data: Uint8Array.from([97, 98, 98]).buffer, bytes: 3, hash: ABC }), false);
  assert.equal(isWhole({ data: new ArrayBuffer(0), bytes: 3, hash: ABC }), false);
  assert.equal(isWhole({ bytes: 3, hash: ABC }), false);
});

test("the photos of a record are those of every version of it, each as it stands now", () => {
  const row = (id, kind, subject, corrects = null) => ({ id, record: { id, kind, subject, corrects } });
  const rows = [
    row("c", "arrival-check", null),
    row("p", "photo", "c"),
    row("q", "photo", "x"),
    row("r", "photo", "c", "p"),
    row("s", "plug-in", "c"),
  ];
  assert.deepEqual(
    photoRecords(rows, ["c", "c2"]).map(({ id }) => id),
    ["r"],
  );
});
