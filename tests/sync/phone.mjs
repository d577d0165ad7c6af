// A phone as a process: the pages' own modules, a store that outlives the process, a network and a clock that the
// test holds.
//   node tests/sync/phone.mjs MODULES MEDIUM
// Every line in is one thing to do; the line out comes when nothing moves any more and shows what is done and what is
// asked.
//
// The store is in memory. When a writing transaction completes, the stores that it had to itself are appended to the
// file MEDIUM before the page hears of it; the next process starts from there. So a process that is killed loses what
// was not told complete, and nothing else. A transaction holds its stores alone until then, hence no half of another
// gets in. As in a browser, it takes nothing more once control is back at the event loop: an await of anything but
// itself ends it.

import { appendFileSync, existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { deserialize, serialize } from "node:v8";

const [modules, medium] = process.argv.slice(2);
const NAME = "fieldlog";
const STILL_TURNS = 30;

createRequire(new URL("../../deploy/package.json", import.meta.url))("fake-indexeddb/auto");

let moved = 0;
const stir = () => (moved += 1);

// The medium

let writesToLive = Infinity;

const openTransaction = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (...asked) {
  const transaction = openTransaction.apply(this, asked);
  stir();
  listenTo(transaction);
  takesNoMoreAfterThisTurn(transaction);
  return transaction;
};

const execute = IDBTransaction.prototype._execRequestAsync;
IDBTransaction.prototype._execRequestAsync = function (asked) {
  const request = execute.call(this, asked);
  for (const type of ["success", "error"]) request.addEventListener(type, () => answered(this));
  return request;
};

function answered(transaction) {
  stir();
  takesNoMoreAfterThisTurn(transaction);
}

/** The tick begins when all microtasks are through, and before the event loop goes on. */
function takesNoMoreAfterThisTurn(transaction) {
  queueMicrotask(() =>
    process.nextTick(() => {
      if (transaction._state === "active") transaction._state = "inactive"; // the next event makes it active again
    }),
  );
}

function listenTo(transaction) {
  transaction.addEventListener("abort", stir);
  transaction.addEventListener("complete", () => (transaction.mode === "readonly" ? stir() : complete(transaction)));
}

function complete(transaction) {
  stir();
  writesToLive -= 1;
  if (writesToLive < 0) die(); // lost: the page was never told
  const { version, _rawDatabase } = transaction.db;
  const all = [..._rawDatabase.rawObjectStores.values()];
  const own = all.filter(({ name }) => transaction.objectStoreNames.contains(name));
  const entry = serialize({
    version,
    keyPaths: all.map(({ name, keyPath }) => [name, keyPath]),
    stores: Object.fromEntries(own.map((store) => [store.name, contents(store)])),
  });
  const size = Buffer.alloc(4);
  size.writeUInt32BE(entry.length);
  appendFileSync(medium, Buffer.concat([size, entry]));
  if (writesToLive === 0) die(); // kept, and the page was not told any more
}

const contents = (store) => [...store.records.values()].map(({ key, value }) => [key, value]);

const openDatabase = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...asked) {
  const request = openDatabase.apply(this, asked);
  stir();
  request.addEventListener("success", stir);
  request.addEventListener("upgradeneeded", () => {
    listenTo(request.transaction);
    takesNoMoreAfterThisTurn(request.transaction);
  });
  return request;
};

function die() {
  process.kill(process.pid, "SIGKILL");
  for (;;); // not one step further until the signal is there
}

/** Puts back what the medium holds, in the version it was written in. */
async function bringBack() {
  const bytes = existsSync(medium) ? readFileSync(medium) : Buffer.alloc(0);
  const stores = {};
  let last = null;
  for (let at = 0; at < bytes.length; at += 4 + bytes.readUInt32BE(at)) {
    last = deserialize(bytes.subarray(at + 4, at + 4 + bytes.readUInt32BE(at)));
    Object.assign(stores, last.stores);
  }
  if (last) await fill(last, stores);
}

function fill({ version, keyPaths }, stores) {
  return new Promise((resolve, reject) => {
    const request = openDatabase.call(indexedDB, NAME, version);
    request.onupgradeneeded = () => {
      for (const [name, keyPath] of keyPaths) {
        const store = request.result.createObjectStore(name, keyPath === null ? {} : { keyPath });
        for (const [key, value] of stores[name]) store.put(value, ...(keyPath === null ? [key] : []));
      }
    };
    request.onerror = () => reject(request.error);
    request.onsuccess = () => resolve(request.result.close());
  });
}

// The clock: what the date says can be wrong; what timers wait for passes only when the test lets it.

let dateMs = 0;
let passedMs = 0;
let timers = [];
let timerCount = 0;

globalThis.Date = class extends Date {
  constructor(...given) {
    super(...(given.length ? given : [dateMs]));
  }

  static now() {
    return dateMs;
  }
};
globalThis.setTimeout = (work, ms = 0, ...given) => {
  timers.push({ number: ++timerCount, at: passedMs + ms, work: () => work(...given) });
  return timerCount;
};
globalThis.clearTimeout = (number) => {
  timers = timers.filter((timer) => timer.number !== number);
};
AbortSignal.timeout = (ms) => {
  const stop = new AbortController();
  setTimeout(() => stop.abort(new DOMException("It took too long.", "TimeoutError")), ms);
  return stop.signal;
};
Math.random = () => 0.5; // only waits are drawn with it

async function pass({ ms }) {
  const end = passedMs + ms;
  for (let next = due(end); next; next = due(end)) await ring(next);
  goTo(end);
}

/** Lets time pass until something more is asked of the network, and gives what is left of it. */
async function passUntilAsked({ ms }) {
  const [end, before] = [passedMs + ms, askCount];
  for (let next = due(end); next && askCount === before; next = due(end)) await ring(next);
  if (askCount === before) goTo(end);
  return end - passedMs;
}

async function ring(timer) {
  goTo(timer.at);
  clearTimeout(timer.number);
  timer.work();
  await stillness();
}

const due = (end) => timers.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];

function goTo(ms) {
  dateMs += Math.max(ms - passedMs, 0);
  passedMs = Math.max(ms, passedMs);
}

// The network

const asks = new Map();
let askCount = 0;

globalThis.fetch = (address, { method = "GET", headers = {}, body = "", signal } = {}) =>
  new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason);
    const number = ++askCount;
    const shown = {
      number,
      method,
      address: String(address),
      headers: Object.fromEntries(new Headers(headers)),
      body: Buffer.from(body ?? "").toString("base64"),
    };
    asks.set(number, { shown, resolve, reject });
    stir();
    signal?.addEventListener("abort", () => {
      asks.delete(number);
      stir();
      reject(signal.reason);
    });
  });
Object.defineProperty(globalThis, "navigator", { value: { onLine: true } }); // without locks, as some browsers are

function answer({ number, status, headers, body }) {
  const ask = asks.get(number);
  asks.delete(number);
  if (!ask) return;
  if (status === null) return ask.reject(new TypeError("Failed to fetch"));
  ask.resolve(new Response([204, 304].includes(status) ? null : Buffer.from(body, "base64"), { status, headers }));
}

globalThis.sessionStorage = {
  __proto__: {
    setItem(name, text) {
      this[name] = text;
    },
    removeItem(name) {
      delete this[name];
    },
  },
};
console.warn = () => null; // troubles are what this is about

// What the test asks for

await bringBack();
const load = (path) => import(new URL(path, pathToFileURL(`${modules}/`)));
const queue = await load("outbox/queue.js");
const flush = await load("sync/flush.js");
const leaving = await load("sync/leaving.js");
const db = await load("outbox/db.js");
const photos = await load("outbox/photos.js");
const MODULES = {
  ...{ queue, flush, leaving, db, photos },
  mending: await load("outbox/mending.js"),
  file: await load("outbox/file.js"),
  sending: await load("sync/photos.js"),
  asking: await load("sync/asking.js"),
  photos_missing: await load("sync/missing-photos.js"),
  aside: await load("outbox/aside.js"),
  newest: await load("outbox/newest.js"),
};

async function seen() {
  const rows = await db.transact("records", "readonly", (store) => store.getAll());
  const visible = (await queue.allRows()).map(({ id }) => id);
  return {
    rows,
    visible,
    ahead: (await db.get("kept", "ahead")) ?? null,
    passed: Object.values((await db.get("kept", "logs")) ?? {}).map(({ after }) => after),
    account: (await db.get("kept", "account")) ?? null,
    signed_in: flush.standing.signedIn,
    problem: flush.standing.problem,
  };
}

/** Runs a text of script that knows the modules by name. */
function script({ body, given }) {
  const { constructor: AsyncFunction } = Object.getPrototypeOf(pass);
  return new AsyncFunction(...Object.keys(MODULES), "given", body)(...Object.values(MODULES), given);
}

const WORK = {
  keep: ({ record }) => queue.keep(record),
  photo: ({ photo, record }) => photos.keepPhoto({ ...photo, data: Uint8Array.from(photo.data).buffer }, record),
  sync: () => flush.sync(),
  leave: ({ choice }) => leaving.leave(choice),
  seen,
  pass,
  script,
  "pass until asked": passUntilAsked,
  answer,
  date: ({ ms }) => {
    dateMs = ms;
  },
  death: ({ writes }) => {
    writesToLive = writes ?? Infinity;
  },
};

/** Waits until no transaction, timer or answer has moved anything for some turns of the loop. */
async function stillness() {
  for (let still = 0, before = moved; still < STILL_TURNS; still += 1) {
    await new Promise(setImmediate);
    if (moved !== before) still = 0;
    before = moved;
  }
}

let ended = {};

function begin({ task, what, ...given }) {
  return Promise.resolve()
    .then(() => WORK[what](given))
    .then(
      (value) => (ended[task] = { value: value ?? null }),
      (error) => (ended[task] = { failed: String(error?.message ?? error) }),
    )
    .finally(stir);
}

let unread = "";
process.stdin.setEncoding("utf8").on("data", async (text) => {
  unread += text;
  if (!unread.endsWith("\n")) return;
  const line = unread;
  unread = "";
  const message = JSON.parse(line);
  const end = begin(message);
  if (message.what.startsWith("pass")) await end; // it waits for stillness at every timer
  await stillness();
  process.stdout.write(
    `${JSON.stringify({ ended, asks: [...asks.values()].map(({ shown }) => shown), date: dateMs })}\n`,
  );
  ended = {};
});
process.stdin.on("end", () => process.exit());
