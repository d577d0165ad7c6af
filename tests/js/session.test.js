// Who comes to a phone and who leaves it: the server's answers are made up, the store is in memory.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { get, put, transact } from "../../static/js/outbox/db.js";
import { allRows, keep, rowOf, settle } from "../../static/js/outbox/queue.js";
import { leave } from "../../static/js/sync/leaving.js";
import { meet } from "../../static/js/sync/session.js";
import { wiped } from "./phone-store.mjs";

const check = (last) => ({
  id: `019aa000-0000-7000-8000-00000000000${last}`,
  kind: "arrival-check",
  corrects: null,
  body: {},
});
const METER = { meter: { input: "low-impedance" } };

/** What the server was asked, and who is signed in there. */
let asked = [];
let there = { signed_in: false };

globalThis.sessionStorage = {};
globalThis.fetch = async (address, { method = "GET" } = {}) => {
  asked.push(`${method} ${address}`);
  if (there === null) throw new TypeError("Failed to fetch");
  if (method === "DELETE") there = { signed_in: false };
  return Response.json({ ...there, now: new Date().toISOString() });
};

const signIn = (name, session = `session of ${name}`) => {
  there = { signed_in: true, name, session };
  return meet();
};

beforeEach(async () => {
  await wiped();
  there = { signed_in: false };
  asked = [];
});

test("another account begins at its own beginning, without the meter and the way of the one before", async () => {
  await signIn("Kestrel");
  const logs = { own: { after: 40, position: 40, head: "a".repeat(64) } };
  await put("kept", "logs", logs);
  await put("kept", "ahead", { logs, tries: 1, not_before: 0 });
  await put("remembered", "check", METER);
  await signIn("Robin");

  assert.equal(await get("kept", "account"), "Robin");
  assert.equal(await get("kept", "logs"), undefined);
  assert.equal(await get("kept", "ahead"), undefined);
  assert.equal(await get("remembered", "check"), undefined);
});

test("what was remembered and made before anybody signed in is that of who comes first", async () => {
  await put("remembered", "check", METER);
  await keep(check(1));
  await signIn("Kestrel");

  assert.deepEqual(await get("remembered", "check"), METER);
  assert.equal((await rowOf(check(1).id)).account, "Kestrel");
});

test("what one account left locked, the refused as well, is there for it alone", async () => {
  await signIn("Kestrel");
  await keep(check(1));
  await keep(check(2));
  const [first] = await allRows();
  await settle([first], [{ id: first.id, status: "refused", problems: [{ at: "", problem: "No." }] }], "Kestrel");
  await leave("locked");
  await signIn("Robin");
  assert.deepEqual(await allRows(), []);
  await signIn("Kestrel");

  const rows = await allRows();
  assert.deepEqual(
    rows.map(({ account, saved }) => [account, saved]),
    [
      ["Kestrel", "refused"],
      ["Kestrel", "phone"],
    ],
  );
});

test("who left is no longer at the phone, and what is kept then is nobody's", async () => {
  await signIn("Kestrel");
  await leave("discarded");
  await keep(check(1));

  assert.equal((await rowOf(check(1).id)).account, null);
});

test("a session that was left without the server is ended at the next meeting, before anything else", async () => {
  await signIn("Kestrel");
  const session = there;
  there = null;
  assert.deepEqual(await leave("locked"), { isTold: false });
  there = session;
  asked = [];

  assert.equal(await meet(), null);
  assert.deepEqual(asked, ["GET /api/session", "DELETE /api/session"]);
  assert.equal(await get("kept", "account"), undefined);
});

test("a session that was opened after a sign-out that the server never heard of stays", async () => {
  await signIn("Kestrel", "the first");
  there = null;
  await leave("locked");
  asked = [];

  assert.equal(await signIn("Kestrel", "the second"), "Kestrel");
  assert.deepEqual(asked, ["GET /api/session"]);
});

test("who leaves as if all were sent is refused while a record or a photo is not", async () => {
  await signIn("Kestrel");
  await transact("photos", "readwrite", (photos) => void photos.put({ hash: "a", account: "Kestrel", saved: "phone" }));
  await assert.rejects(leave("sent"), /on this phone only/);
  await keep(check(1));
  await transact("photos", "readwrite", (photos) => void photos.delete("a"));

  await assert.rejects(leave("sent"), /on this phone only/);
  assert.equal(await get("kept", "account"), "Kestrel");
});

test("who leaves takes along the own unfinished forms and nobody else's", async () => {
  await signIn("Kestrel");
  await put("drafts", ["arrive", "Kestrel"], { values: { park: "Alder" } });
  await put("drafts", ["arrive", "Robin"], { values: { park: "Birch" } });
  await leave("discarded");

  assert.equal(await get("drafts", ["arrive", "Kestrel"]), undefined);
  assert.deepEqual(await get("drafts", ["arrive", "Robin"]), { values: { park: "Birch" } });
});
