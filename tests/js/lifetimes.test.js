// Transactions and connections of the phone's store, from their begin to their end. Another page, a store that the
// browser drops and a phone that is full stand behind the border of IndexedDB; the modules are the pages' own.

import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { transact } from "../../static/js/outbox/db.js";
import { importFile } from "../../static/js/outbox/file.js";
import { discardPhoto, notePhoto } from "../../static/js/outbox/photo-rows.js";
import { keepPhoto, photoWithHash, unsentPhotos } from "../../static/js/outbox/photos.js";
import { allRows, hashOf, keep, settle, takeOver } from "../../static/js/outbox/queue.js";
import { meet } from "../../static/js/sync/session.js";
import { begin, found, outcome, STORES, wiped } from "./phone-store.mjs";

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
const PHOTO = {
  hash: ABC,
  type: "image/jpeg",
  width: 1,
  height: 1,
  bytes: 3,
  data: Uint8Array.from([97, 98, 99]).buffer,
};

/** What the pages begin, in order; ask stands before it and may refuse. */
let begun = [];
const asksNothing = () => undefined;
let ask = asksNothing;

IDBDatabase.prototype.transaction = function (stores, mode, options) {
  ask(this);
  const transaction = begin.call(this, stores, mode, options);
  const seen = { db: this, transaction, stores: [stores].flat(), mode, ...options, isComplete: false };
  transaction.addEventListener("complete", () => (seen.isComplete = true));
  begun.push(seen);
  return transaction;
};

/** Lets everything go on that waits for no timer. */
async function stillness() {
  for (let turn = 0; turn < 100; turn += 1) await new Promise(setImmediate);
}

const signIn = (account) => transact("kept", "readwrite", (kept) => void kept.put(account, "account"));

beforeEach(async () => {
  ask = asksNothing;
  await wiped();
  begun = [];
});

// What is said to be kept

test("a record, a photo, what becomes of them and what a file brings are kept once on the medium", async () => {
  await keep(CHECK);
  await keepPhoto(PHOTO, NOTED);
  await notePhoto(ABC, { saved: "refused" });
  await settle(await allRows(), [{ id: CHECK.id, status: "stored", hash: hashOf(CHECK), seq: 1 }], "Kestrel");
  await discardPhoto(ABC);
  await importFile(JSON.stringify({ what: "fieldlog phone export", version: 1, records: [CHECK], photos: [] }));

  const writing = begun.filter(({ mode, stores }) => mode === "readwrite" && /records|photos/.test(stores.join()));
  assert.ok(writing.length >= 5, `${writing.length} transactions`);
  for (const { durability, stores } of writing) assert.equal(durability, "strict", stores.join());
});

test("a record is said to be kept when its transaction has completed, not when its request succeeded", async () => {
  await keep(CHECK);

  const writing = begun.filter(({ mode }) => mode === "readwrite");
  assert.ok(writing.length > 0);
  assert.ok(writing.every(({ isComplete }) => isComplete));
});

test("a transaction that ends after its last request is said not to have kept anything", {
  timeout: 5000,
}, async (t) => {
  const { put } = IDBObjectStore.prototype;
  t.mock.method(IDBObjectStore.prototype, "put", function (...given) {
    const request = put.apply(this, given);
    request.addEventListener("success", () => request.transaction.abort()); // as a phone that is full: no request fails
    return request;
  });

  await assert.rejects(keep(CHECK), /stopped the writing/);
  assert.deepEqual((await found()).records, []);
});

test("what throws in the midst of its work leaves nothing of it", async () => {
  const work = (rows) => {
    rows.put({ id: "half" });
    throw new Error("no second half");
  };

  await assert.rejects(transact("records", "readwrite", work), /no second half/);
  assert.deepEqual((await found()).records, []);
});

test("what another account began is said not to be kept, and is not", async () => {
  await signIn("Kestrel");

  await assert.rejects(keep(CHECK, "Robin"), /Another account began this/);
  assert.deepEqual((await found()).records, []);
});

test("a photo and its record are both there when they are said to be", async () => {
  await keepPhoto(PHOTO, NOTED);

  const { records, photos } = await found();
  assert.deepEqual([records.map(({ id }) => id), photos.map(({ hash }) => hash)], [[NOTED.id], [ABC]]);
});

test("a record and the draft that it comes from are both there when they are said to be", async () => {
  await keep(CHECK, null, { page: "arrive", draft: { values: {}, kept: CHECK.id } });

  const { records, drafts } = await found();
  assert.deepEqual([records.map(({ id }) => id), drafts.map(({ kept }) => kept)], [[CHECK.id], [CHECK.id]]);
});

// Another page acts between any two transactions

/**
 * Goes through work as often as it has transactions, each time with another page that acts before one more of them.
 * @param {object} life
 * @param {() => Promise<unknown>} [life.first]
 * @param {() => Promise<unknown>} life.work
 * @param {(stores: Record<string, IDBObjectStore>) => void} life.other
 * @param {(now: Record<string, any>) => void} life.seen looks at what is kept in the end
 */
async function betweenAny({ first = allRows, work, other, seen }) {
  for (let nth = 1, count = nth; nth <= count; nth += 1) {
    await wiped();
    await first();
    await allRows(); // the store is open
    const page = await outcome(indexedDB.open("fieldlog"));
    begun = [];
    ask = () => {
      if (begun.length !== nth - 1) return;
      const stores = begin.call(page, STORES, "readwrite");
      other(Object.fromEntries(STORES.map((name) => [name, stores.objectStore(name)])));
    };
    try {
      await work();
    } finally {
      ask = asksNothing;
      page.close();
    }
    count = begun.length;
    seen(await found());
  }
}

/** Whoever comes to the phone takes up what was nobody's. */
function comes({ kept, records }, account) {
  kept.put(account, "account");
  records.getAll().onsuccess = ({ target }) => {
    for (const row of target.result) if (row.account === null) records.put({ ...row, account });
  };
}

/** Whoever leaves takes along what is theirs. */
function leaves({ kept, records, photos }) {
  kept.delete("account");
  kept.put("a session", "leaving");
  records.clear();
  photos.clear();
}

test("a record that is kept while somebody signs in is that account's", () =>
  betweenAny({
    work: () => keep(CHECK),
    other: (stores) => comes(stores, "Kestrel"),
    seen: ({ records }) =>
      assert.deepEqual(
        records.map(({ account }) => account),
        ["Kestrel"],
      ),
  }));

test("a record that is mended while its receipt is written down keeps what was typed, and waits", () => {
  const mended = { ...CHECK, body: { mended: true } };
  let isMended = false;
  return betweenAny({
    first: () => signIn("Kestrel").then(() => keep(CHECK)),
    work: async () => {
      isMended = false;
      const sent = [{ id: CHECK.id, record: CHECK, hash: hashOf(CHECK) }];
      await settle(sent, [{ id: CHECK.id, status: "stored", hash: hashOf(CHECK), seq: 1 }], "Kestrel");
    },
    other: ({ records }) => {
      records.get(CHECK.id).onsuccess = ({ target: { result: row } }) => {
        isMended = row.saved === "phone";
        if (isMended) records.put({ ...row, record: mended, hash: hashOf(mended) });
      };
    },
    seen: ({ records: [{ record, saved }] }) =>
      assert.deepEqual(
        { record, saved },
        isMended ? { record: mended, saved: "phone" } : { record: CHECK, saved: "server" },
      ),
  });
});

test("what is fetched while its account leaves the phone stays off it", () =>
  betweenAny({
    first: () => signIn("Kestrel"),
    work: () => {
      const records = [{ record: CHECK, hash: hashOf(CHECK), seq: 1 }];
      return takeOver({ records, account: "Kestrel", own: "own" }, "Kestrel", { logs: {}, tries: 0 });
    },
    other: leaves,
    seen: ({ records }) => assert.deepEqual(records, []),
  }));

test("an account that leaves while a page asks who is there is not brought back", (t) => {
  const body = { signed_in: true, name: "Kestrel", session: "a session", now: new Date().toISOString() };
  t.mock.method(globalThis, "fetch", async (_, { method } = {}) =>
    Response.json(method === "DELETE" ? { signed_in: false } : body),
  );
  return betweenAny({
    first: () => signIn("Kestrel"),
    work: meet,
    other: leaves,
    seen: ({ account }) => assert.equal(account, undefined),
  });
});

test("a photo that is discarded while it is on its way stays off the phone", () =>
  betweenAny({
    first: () => keepPhoto(PHOTO, NOTED),
    work: () => notePhoto(ABC, { saved: "server" }),
    other: ({ photos }) => photos.clear(),
    seen: ({ photos }) => assert.deepEqual(photos, []),
  }));

// Connections that end

test("a page makes way for a newer version of the store", async () => {
  await keep(CHECK);
  const newer = await outcome(indexedDB.open("fieldlog", 9));

  await assert.rejects(keep(NOTED), /kept by a newer version/);
  newer.close();
});

/** A page of the first version with a record; it makes way only when it is closed. */
async function firstVersion() {
  const request = indexedDB.open("fieldlog", 1);
  request.onupgradeneeded = () => {
    request.result.createObjectStore("records", { keyPath: "id" });
    for (const name of ["drafts", "remembered", "kept"]) request.result.createObjectStore(name);
    request.transaction.objectStore("records").put({ id: CHECK.id, record: CHECK, account: null, saved: "phone" });
  };
  return outcome(request);
}

/** What is said of a record that is not kept, so many milliseconds after it was to be. */
async function saidAfter(ms, timers) {
  const said = [];
  keep(CHECK).catch(({ message }) => said.push(message));
  await stillness();
  timers.tick(ms - 1);
  await stillness();
  assert.deepEqual(said, []);
  timers.tick(1);
  await stillness();
  return said.join();
}

test("a page of an older version that stands in the way is named after two seconds", async (t) => {
  const old = await firstVersion();
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const said = await saidAfter(2000, t.mock.timers);
  old.close();
  await stillness(); // the store that was waited for comes all the same

  assert.match(said, /open in an older version; close it/);
});

test("a store of the first version keeps its rows", async () => {
  (await firstVersion()).close();

  assert.deepEqual(
    (await allRows()).map(({ record }) => record),
    [CHECK],
  );
});

for (const name of ["InvalidStateError", "UnknownError"])
  test(`a connection that was lost is opened again: ${name}`, async () => {
    await signIn("Kestrel");
    const lost = begun.at(-1).db;
    ask = (db) => {
      if (db === lost) throw new DOMException("The connection was lost.", name);
    };
    await keep(CHECK);

    assert.deepEqual(
      (await found()).records.map(({ id }) => id),
      [CHECK.id],
    );
  });

test("a connection that is lost again is opened once more, and then no more", async () => {
  await signIn("Kestrel");
  const lost = new Set();
  let most = 2;
  ask = (db) => {
    if (lost.size === most && !lost.has(db)) return;
    lost.add(db);
    throw new DOMException("The connection was closed.", "AbortError");
  };
  await keep(CHECK);
  const { records } = await found();

  assert.deepEqual([records.map(({ id }) => id), lost.size], [[CHECK.id], 2]);
  most = Number.POSITIVE_INFINITY;
  await assert.rejects(keep(NOTED), { name: "AbortError" });
});

test("work that is done again after a loss counts nothing twice", async (t) => {
  await keepPhoto(PHOTO, NOTED);
  let isLost = false;
  const { get } = IDBObjectStore.prototype;
  t.mock.method(IDBObjectStore.prototype, "get", function (...given) {
    const request = get.apply(this, given);
    if (this.name !== "photos" || isLost) return request;
    isLost = true;
    // As a browser drops it at the end of its work: what was read is there, the transaction is not.
    request.addEventListener("success", () => queueMicrotask(() => this.transaction._abort("UnknownError")));
    return request;
  });
  const { mine } = await unsentPhotos();

  assert.ok(isLost);
  assert.deepEqual(
    mine.map(({ hash }) => hash),
    [ABC],
  );
  assert.equal((await photoWithHash(ABC)).saved, "phone");
});

test("a store that does not open is said so after eight seconds, and is taken when it opens late", async (t) => {
  await keep(NOTED);
  begun.at(-1).db.onclose(); // as the browser does when it ends a connection
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const { open } = IDBFactory.prototype;
  const late = {};
  t.mock.method(IDBFactory.prototype, "open", () => late, { times: 1 });
  const said = await saidAfter(8000, t.mock.timers);
  late.result = await outcome(open.call(indexedDB, "fieldlog"));
  late.onsuccess();

  assert.deepEqual(await allRows().then((rows) => rows.map(({ id }) => id)), [NOTED.id]);
  assert.equal(begun.at(-1).db, late.result);
  assert.match(said, /does not open/);
});
