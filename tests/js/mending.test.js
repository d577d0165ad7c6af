// What a person does about what waits on a phone, and what a file of it holds; the store is in memory.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { transact } from "../../static/js/outbox/db.js";
import { exportFile, importFile } from "../../static/js/outbox/file.js";
import { discard, mend, resend, restore } from "../../static/js/outbox/mending.js";
import { notePhoto } from "../../static/js/outbox/photo-rows.js";
import { keepPhoto, photoWithHash } from "../../static/js/outbox/photos.js";
import { allRows, hashOf, keep, oldestUnsent, rowOf, settle } from "../../static/js/outbox/queue.js";
import { wiped } from "./phone-store.mjs";

const CHECK = {
  id: "019aa000-0000-7000-8000-000000000001",
  kind: "arrival-check",
  subject: null,
  corrects: null,
  body: {},
};
const NOTED = { ...CHECK, id: "019aa000-0000-7000-8000-000000000002", kind: "photo", subject: CHECK.id };
// SHA-256 of "abc": FIPS 180-4, example of NIST.
const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const BYTES = [97, 98, 99];
const photo = () => ({
  hash: ABC,
  type: "image/jpeg",
  width: 1,
  height: 1,
  bytes: 3,
  data: Uint8Array.from(BYTES).buffer,
});
const saying = (what) => ({ ...CHECK, body: { what } });
const isAt = (account) => transact("kept", "readwrite", (kept) => void kept.put(account, "account"));

/** Writes down what the server says of the check as it is on the phone. */
async function answered(receipt) {
  const { record, hash } = await rowOf(CHECK.id);
  await settle([{ id: CHECK.id, record, hash }], [{ id: CHECK.id, hash, ...receipt }], "Kestrel");
}

beforeEach(async () => {
  await wiped();
  await isAt("Kestrel");
});

test("of a record that is mended twice every earlier text is kept, in order", async () => {
  await keep(saying("first"));
  await mend(CHECK.id, saying("second"));
  await mend(CHECK.id, saying("third"));

  const { record, before } = await rowOf(CHECK.id);
  assert.deepEqual(
    [...before, record].map(({ body }) => body.what),
    ["first", "second", "third"],
  );
});

test("a photo of a record that gets another number keeps its bytes and follows it", async () => {
  await keep(CHECK);
  await keepPhoto(photo(), NOTED);
  await answered({ status: "refused", problems: [{ at: "/id", problem: "Another record has this id." }] });
  const { id } = await mend(CHECK.id, CHECK);

  const { data, subject } = await photoWithHash(ABC);
  assert.notEqual(id, CHECK.id);
  assert.deepEqual([...new Uint8Array(data)], BYTES);
  assert.equal(subject, id);
  assert.equal((await rowOf(NOTED.id)).record.subject, id);
});

test("what is put back takes the place of nothing that is there", async () => {
  await keep(saying("first"));
  const gone = await discard([CHECK.id]);
  await keep(saying("typed since"));
  await restore(gone);

  assert.equal((await rowOf(CHECK.id)).record.body.what, "typed since");
});

test("what has arrived meanwhile is neither discarded nor queued again", async () => {
  await keep(CHECK);
  await answered({ status: "stored", seq: 1 });

  assert.deepEqual(await discard([CHECK.id]), []);
  await resend(CHECK.id);
  assert.equal((await rowOf(CHECK.id)).saved, "server");
});

for (const who of ["another account", null])
  test(`what one account left is neither seen, mended nor discarded by ${who ?? "nobody"}`, async () => {
    await keep(CHECK);
    await isAt(who);

    assert.deepEqual(await allRows(), []);
    assert.deepEqual(await discard([CHECK.id]), []);
    await assert.rejects(mend(CHECK.id, saying("mine now")), /gone from this phone/);
    await isAt("Kestrel");
    assert.deepEqual((await rowOf(CHECK.id)).record, CHECK);
  });

test("a record that was refused is as old an alarm as one that waits", async () => {
  await keep(CHECK);
  const waiting = await oldestUnsent();
  await answered({ status: "refused", problems: [{ at: "", problem: "No." }] });

  assert.equal(waiting, 0x019aa0000000);
  assert.equal(await oldestUnsent(), waiting);
});

test("a file holds the records and photos of who writes it, and nobody else's", async () => {
  await keep(CHECK);
  await keepPhoto(photo(), NOTED);
  const own = JSON.parse((await exportFile({ all: true })).text);
  await isAt("Robin");
  const others = JSON.parse((await exportFile({ all: true })).text);

  assert.deepEqual(
    [own.records.map(({ id }) => id), own.photos.map(({ hash }) => hash)],
    [[CHECK.id, NOTED.id], [ABC]],
  );
  assert.deepEqual([others.records, others.photos], [[], []]);
});

test("a file writes over nothing that is on the phone", async () => {
  await keep(saying("mended since"));
  const made = {
    rig: null,
    observed_at: "2026-11-25T12:00:00+00:00",
    made_by: "Kestrel",
    instrument: null,
    reason: null,
  };
  const older = { ...saying("older"), kind: "of a later version", ...made };
  const done = await importFile(JSON.stringify({ what: "fieldlog phone export", version: 1, records: [older] }));

  assert.equal(done.kept, 0);
  assert.match(done.problems.join(), /Another text of record/);
  assert.deepEqual((await rowOf(CHECK.id)).record, saying("mended since"));
});

test("what corrects a record stands after it, whatever the clock showed when either was made", async () => {
  const later = { ...CHECK, id: "019aa000-0000-7000-8000-00000000000f" };
  await keep({ ...CHECK, corrects: later.id });
  await keep(later);

  const order = (await allRows()).map(({ id }) => id);
  assert.deepEqual(order, [later.id, CHECK.id]);
  assert.equal((await rowOf(later.id)).hash, hashOf(later));
});

test("two accounts that keep the same picture have each a row of it", async () => {
  await keepPhoto(photo(), NOTED);
  await notePhoto(ABC, { saved: "server" });
  await isAt("Robin");
  await keepPhoto(photo(), { ...NOTED, id: "019aa000-0000-7000-8000-000000000003" });

  assert.equal((await photoWithHash(ABC)).saved, "phone");
  await isAt("Kestrel");
  assert.equal((await photoWithHash(ABC)).saved, "server");
});

test("a photo of a file is left out where its bytes are not those that its name says", async () => {
  await keepPhoto(photo(), NOTED);
  const file = JSON.parse((await exportFile({ all: true })).text);
  await wiped();
  file.photos[0].data = btoa("abX");
  const done = await importFile(JSON.stringify({ ...file, records: [] }));

  assert.deepEqual([done.photos, done.problems.length], [0, 1]);
  assert.equal(await photoWithHash(ABC), undefined);
});
