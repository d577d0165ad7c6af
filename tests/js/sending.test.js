// What the server answers, and what the phone makes of it: the answers are made up, the store is in memory.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { put } from "../../static/js/outbox/db.js";
import { keepPhoto, photoWithHash } from "../../static/js/outbox/photos.js";
import { allRows, hashOf, keep, rowOf, settle } from "../../static/js/outbox/queue.js";
import { sendPhotos } from "../../static/js/sync/photos.js";
import { send } from "../../static/js/sync/sending.js";
import { wiped } from "./phone-store.mjs";

const check = (last) => ({
  id: `019aa000-0000-7000-8000-00000000000${last}`,
  kind: "arrival-check",
  corrects: null,
  body: {},
});
// SHA-256 of "abc": FIPS 180-4, example of NIST.
const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const NOTED = { ...check(9), kind: "photo", subject: check(1).id, body: { hash: ABC } };
const photo = () => ({
  hash: ABC,
  type: "image/jpeg",
  width: 1,
  height: 1,
  bytes: 3,
  data: Uint8Array.from([97, 98, 99]).buffer,
});

/** Answers by a function of method, address and what was sent; an answer is a status and a body. */
function answering(answer) {
  globalThis.fetch = async (address, { method = "GET", body } = {}) => {
    const [status, told] = answer(method, String(address), method === "POST" ? JSON.parse(body) : body);
    return Response.json(told, { status });
  };
}

const problems = (at) => ({ problems: [{ at, problem: "The server says no." }] });

beforeEach(async () => {
  await wiped();
  await put("kept", "account", "Kestrel");
});

test("a letter that is refused for its account, its time or its form blames no record", async () => {
  for (const at of ["/account", "/sent_at", "/records"]) {
    await keep(check(1));
    answering(() => [422, problems(at)]);
    await assert.rejects(send("Kestrel"), /The server says no/);

    const { saved, tries = 0 } = await rowOf(check(1).id);
    assert.deepEqual([saved, tries], ["phone", 0], at);
  }
});

test("a server that asks to be left alone, or wants another sign-in, blames no record", async () => {
  for (const status of [503, 429, 401]) {
    await keep(check(1));
    answering(() => [status, problems("")]);
    await assert.rejects(send("Kestrel"), /The server says no/);

    const { saved, tries = 0 } = await rowOf(check(1).id);
    assert.deepEqual([saved, tries], ["phone", 0], String(status));
  }
});

test("a batch that is refused is cut until the one to blame is alone", async () => {
  for (const last of [1, 2, 3]) await keep(check(last));
  answering((_, __, { records }) => {
    if (records.some(({ id }) => id === check(2).id)) return [422, problems("/records/0/body")];
    return [
      200,
      { receipts: records.map((record) => ({ id: record.id, status: "stored", hash: hashOf(record), seq: 1 })) },
    ];
  });
  await send("Kestrel");

  const saved = await Promise.all([1, 2, 3].map(async (last) => (await rowOf(check(last).id)).saved));
  assert.deepEqual(saved, ["server", "refused", "server"]);
});

test("a way that is gone after something arrived is given up after three silences", async () => {
  for (const last of [1, 2, 3, 4, 5, 6, 7, 8]) await keep(check(last));
  let hasArrived = false;
  answering((_, __, { records: [record, ...more] }) => {
    if (more.length || hasArrived) throw new DOMException("There was silence.", "AbortError");
    hasArrived = true;
    return [200, { receipts: [{ id: record.id, status: "stored", hash: hashOf(record), seq: 1 }] }];
  });
  await assert.rejects(send("Kestrel"), /gave no answer/);

  const rows = await allRows();
  assert.equal(rows.filter(({ saved }) => saved === "server").length, 1);
  assert.equal(rows.filter(({ tries }) => tries).length, 3);
});

for (const [name, broken] of [
  ["is reset", () => Promise.reject(new TypeError("Failed to fetch"))],
  ["is a proxy's page", () => new Response("<h1>502</h1>", { status: 502, headers: { "content-type": "text/html" } })],
])
  test(`a record on which the answer ${name} holds up no other while the server answers otherwise`, async () => {
    for (const last of [1, 2, 3]) await keep(check(last));
    globalThis.fetch = async (address, { body } = {}) => {
      if (address === "/api/session") return Response.json({ signed_in: true, name: "Kestrel" });
      const { records } = JSON.parse(body);
      if (records.some(({ id }) => id === check(2).id)) return broken();
      return Response.json({
        receipts: records.map((record) => ({ id: record.id, status: "stored", hash: hashOf(record), seq: 1 })),
      });
    };
    await send("Kestrel");

    const rows = await Promise.all([1, 2, 3].map((last) => rowOf(check(last).id)));
    assert.deepEqual(
      rows.map(({ saved, tries }) => [saved, tries ?? 0]),
      [
        ["server", 0],
        ["phone", 1],
        ["server", 0],
      ],
    );
  });

test("a way that brings nothing blames no record", async () => {
  await keep(check(1));
  globalThis.fetch = () => Promise.reject(new TypeError("Failed to fetch"));
  await assert.rejects(send("Kestrel"), /Failed to fetch/);

  assert.equal((await rowOf(check(1).id)).tries, undefined);
});

/** Sends a photo whose record has arrived, and gives its row. */
async function sent(answer, session = { signed_in: true, name: "Kestrel" }) {
  await keepPhoto(photo(), NOTED);
  await settle(await allRows(), [{ id: NOTED.id, status: "stored", hash: hashOf(NOTED), seq: 1 }], "Kestrel");
  answering((method) => (method === "PUT" ? answer : [200, session]));
  await sendPhotos("Kestrel");
  return photoWithHash(ABC);
}

test("a photo that broke on its way, or came before its record, is tried again by itself", async () => {
  const { saved, tries } = await sent([422, { hash: ABC, status: "refused", ...problems("/hash") }]);

  assert.deepEqual([saved, tries], ["phone", 1]);
});

test("a photo that the server does not want is refused, and says why", async () => {
  const row = await sent([422, { hash: ABC, status: "refused", ...problems("/type") }]);

  assert.deepEqual([row.saved, row.problems[0].problem], ["refused", "The server says no."]);
});

test("a photo is on the server only where its answer names it and the session was its account's", async () => {
  assert.equal((await sent([200, { hash: "another", status: "stored" }])).saved, "phone");
  await wiped();
  await put("kept", "account", "Kestrel");
  await assert.rejects(
    sent([200, { hash: ABC, status: "stored" }], { signed_in: true, name: "Robin" }),
    /Another session/,
  );
  assert.equal((await photoWithHash(ABC)).saved, "phone");
  assert.equal((await sent([200, { hash: ABC, status: "stored" }])).saved, "server");
});
