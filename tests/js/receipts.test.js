// What becomes of rows when the server answers, or gives what other phones sent; the store is in memory.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { get, put } from "../../static/js/outbox/db.js";
import { allRows, hashOf, keep, postpone, rowOf, settle, takeOver, waitingRows } from "../../static/js/outbox/queue.js";
import { wiped } from "./phone-store.mjs";

const CHECK = {
  id: "019aa000-0000-7000-8000-000000000001",
  kind: "arrival-check",
  subject: null,
  corrects: null,
  body: {},
};
const OTHER = { ...CHECK, id: "019aa000-0000-7000-8000-000000000002" };
const saying = (what) => ({ ...CHECK, body: { what } });
const sent = (record) => [{ id: record.id, record, hash: hashOf(record) }];
const stored = (record, members) => [{ id: record.id, status: "stored", hash: hashOf(record), seq: 1, ...members }];
const page = (...records) => ({
  records: records.map((record, i) => ({
    record,
    hash: hashOf(record),
    seq: i + 1,
    log: "own",
    position: i + 1,
    head: String(i + 1).repeat(64),
  })),
  account: "Kestrel",
  own: "own",
});
const isAt = (account) => put("kept", "account", account);
const waiting = async (now) => (await waitingRows("Kestrel", now)).map(({ id }) => id);

beforeEach(async () => {
  await wiped();
  await isAt("Kestrel");
});

test("a receipt for a text that was mended since marks nothing", async () => {
  await keep(saying("typed since"));
  await settle(sent(saying("sent")), stored(saying("sent")), "Kestrel");

  const { record, saved, problems } = await rowOf(CHECK.id);
  assert.deepEqual([record, saved, problems], [saying("typed since"), "phone", []]);
});

test("a receipt that names another text is told, and the text stays and waits for a person", async () => {
  await keep(CHECK);
  await settle(sent(CHECK), stored(CHECK, { hash: "another" }), "Kestrel");

  const { record, saved, problems } = await rowOf(CHECK.id);
  assert.deepEqual([record, saved, problems[0].at], [CHECK, "refused", "/id"]);
});

test("what is fetched writes over nothing that was typed here and is not on the server", async () => {
  await keep(saying("typed here"));
  await takeOver(page(saying("of another phone")), "Kestrel", { logs: {}, tries: 0 });

  const { record, saved } = await rowOf(CHECK.id);
  assert.deepEqual([record, saved], [saying("typed here"), "refused"]);
});

test("an answer after its account left takes what arrived off the phone, and keeps what was refused", async () => {
  await keep(CHECK);
  await keep(OTHER);
  await isAt("Robin");
  await settle(sent(CHECK), stored(CHECK), "Kestrel");
  await settle(sent(OTHER), [{ id: OTHER.id, status: "refused", problems: [{ at: "", problem: "No." }] }], "Kestrel");
  assert.deepEqual(await allRows(), []);
  await isAt("Kestrel");

  assert.deepEqual(
    (await allRows()).map(({ id, saved }) => [id, saved]),
    [[OTHER.id, "refused"]],
  );
});

test("what was refused waits for a person and is not sent by itself", async () => {
  await keep(CHECK);
  assert.deepEqual(await waiting(), [CHECK.id]);
  await settle(
    sent(CHECK),
    [{ id: CHECK.id, status: "refused", problems: [{ at: "/body", problem: "No." }] }],
    "Kestrel",
  );

  assert.deepEqual(await waiting(), []);
});

test("what the server failed on is sent again after a minute, then after a quarter of an hour", async () => {
  await keep(CHECK);
  const before = Date.now();
  await postpone(CHECK.id, "It gave no answer.", "Kestrel");

  assert.deepEqual(await waiting(before + 59_000), []);
  assert.deepEqual(await waiting(Date.now() + 76_000), [CHECK.id]);
  await postpone(CHECK.id, "It gave no answer.", "Kestrel");
  assert.deepEqual(await waiting(before + 14 * 60_000), []);
  assert.deepEqual(await waiting(Date.now() + 19 * 60_000), [CHECK.id]);
});

test("the way stays before a page with a damaged entry, and what is whole of it is there", async () => {
  const { records, ...more } = page(CHECK, OTHER);
  const damaged = [{ ...records[0], hash: "another" }, records[1]];
  await takeOver({ records: damaged, ...more }, "Kestrel", { logs: {}, tries: 0 });

  assert.deepEqual(
    (await allRows()).map(({ id }) => id),
    [OTHER.id],
  );
  assert.equal(await get("kept", "logs"), undefined);
  assert.equal((await get("kept", "ahead")).logs.own.after, 2);
});

test("another account's log is not taken over", async () => {
  await assert.rejects(
    async () => takeOver({ ...page(CHECK), account: "Robin" }, "Kestrel", { logs: {}, tries: 0 }),
    /not of this account/,
  );
  assert.deepEqual(await allRows(), []);
});
