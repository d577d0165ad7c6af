// What a page of the field reads first on a phone with years of records.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { beforeEach, test } from "node:test";
import { transact } from "../../static/js/outbox/db.js";
import { make, newestOf, told } from "../../static/js/outbox/gathering.js";
import { discard } from "../../static/js/outbox/mending.js";
import { newestRows } from "../../static/js/outbox/newest.js";
import { allRows, hashOf, keep, settle, unsentRows } from "../../static/js/outbox/queue.js";
import { dueOf } from "../../static/js/rig/due.js";
import { endsOf } from "../../static/js/rig/ends.js";
import { judgedMap } from "../../static/js/rig/judged.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";
import { outcome, wiped } from "./phone-store.mjs";

const CASES = JSON.parse(readFileSync(new URL("../cases/telling.json", import.meta.url), "utf8"));
const DUE = JSON.parse(readFileSync(new URL("../../schemas/facts/due.json", import.meta.url), "utf8")).entries;
const TODAY = "2026-11-25";
const DAY_MS = 86_400_000;

let made = 0;
function record(kind, body, members = {}) {
  made += 1;
  return {
    id: `01900000-0000-7000-8000-${String(made).padStart(12, "0")}`,
    kind,
    rig: null,
    subject: null,
    observed_at: "2026-11-20T10:00:00.000+00:00",
    made_by: "Kim",
    corrects: null,
    body,
    ...members,
  };
}
const dayBefore = (days) => new Date(Date.parse(TODAY) - days * DAY_MS).toISOString();

/** Draws numbers from 0 to below 1, the same ones each time. @param {number} seed */
function drawing(seed) {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** A rig of two outlets behind one device, and so many records of what was done with it in six years. */
function lived(count, draw) {
  const rig = record("rig", { name: "Wren", outlet: "TT-30", note: "" });
  rig.rig = rig.id;
  const of = (kind, body, members = {}) => record(kind, body, { rig: rig.id, ...members });
  const device = of("device", { name: "Galley", type: "gfci-receptacle" });
  const outlets = [1, 2].map((number) => of("outlet", { name: `Outlet ${number}`, outlet: "5-15", guard: device.id }));
  const pick = (some) => some[Math.floor(draw() * some.length)];
  const one = {
    trip: (when) => {
      const dead = outlets.filter(() => draw() < 0.9).map(({ id }) => id);
      const live = outlets.map(({ id }) => id).filter((id) => !dead.includes(id));
      const isGood = draw() < 0.95;
      return of(
        "trip-test",
        { by: "button", tripped: isGood, face_dead: isGood, reset: true, dead, live, not_tested: [] },
        { subject: device.id, ...when },
      );
    },
    test: (when) => {
      const loaded = draw() < 0.3 ? { loaded: { amps: "12 A", volts: { "h-n": "117 V" } } } : {};
      const check = { outlet: "5-15", volts: { "h-n": `${Math.floor(110 + draw() * 12)} V` }, ...loaded };
      const judgement = { verdict: draw() < 0.95 ? "use" : "do-not-use" };
      return of("outlet-test", { check, judgement, not_tested: [] }, { subject: pick(outlets).id, ...when });
    },
    look: (when) =>
      of(
        "look",
        {
          of: pick(["cord", "inlet", "alarms"]),
          points: { dry: draw() < 0.9 ? "good" : "bad" },
          not_tested: [],
          ends: draw() < 0.1 ? { smoke: pick(["2026-10", "2027-01", "2031-05"]) } : {},
        },
        when,
      ),
    round: (when) => of("round", { steps: [], done: true }, { subject: rig.id, ...when }),
    photo: (when) => of("photo", { hash: "0" }, { subject: pick(outlets).id, ...when }),
  };
  const done = Array.from({ length: count }, () =>
    one[pick(Object.keys(one))]({ observed_at: dayBefore(draw() * 2000) }),
  );
  return [rig, device, ...outlets, ...done];
}

const confirmed = (records) =>
  records.map((each, i) => ({
    id: each.id,
    record: each,
    hash: hashOf(each),
    saved: "server",
    account: null,
    problems: [],
    seq: i + 1,
    flags: [],
  }));

/** Fills the store, and gathers the newest as a page does. @param {ReturnType<typeof lived>} records */
async function filled(records) {
  await transact("records", "readwrite", (rows) => confirmed(records).forEach((row) => void rows.put(row)));
  await make();
}

/** How many rows are read while work is done. @param {() => Promise<unknown>} work */
async function readBy(work) {
  const found = { rows: 0 };
  const { getAll, get } = IDBObjectStore.prototype;
  const counted = (name, of) =>
    function (...asked) {
      const request = of.apply(this, asked);
      request.addEventListener("success", () => {
        if (this.name === "records") found.rows += name === "getAll" ? request.result.length : 1;
      });
      return request;
    };
  Object.assign(IDBObjectStore.prototype, { getAll: counted("getAll", getAll), get: counted("get", get) });
  try {
    await work();
  } finally {
    Object.assign(IDBObjectStore.prototype, { getAll, get });
  }
  return found.rows;
}

beforeEach(async () => {
  made = 0;
  await wiped();
});

test("a phone that was used for years reads no more of its records than one that was used for a season", async () => {
  const sizes = [];
  for (const count of [400, 4000]) {
    await wiped();
    await filled(lived(count, drawing(16)));
    assert.equal(await readBy(newestRows), 0);
    sizes.push((await newestRows()).length);
  }

  // Four of structure, 60 checks, and 12 of each word: 2 x 2 x 2 of tests, 2 x 4 of trips, 3 x 2 x 4 of looks, rounds.
  for (const size of sizes) assert.ok(size <= 4 + 60 + 12 * (8 + 8 + 24 + 1), String(sizes));
});

test("what is due, the ends of alarms and the map tell the same of them as of all rows", () => {
  for (let seed = 1; seed <= 20; seed += 1) {
    const rows = confirmed(lived(800, drawing(seed)));
    const [all, newest] = [rows, newestOf(rows, null)].map((some) => rigsOf(some)[0]);

    assert.ok(newestOf(rows, null).length < rows.length);
    assert.ok(dueOf(all, DUE, TODAY).length > 0);
    assert.deepEqual(dueOf(newest, DUE, TODAY), dueOf(all, DUE, TODAY), `seed ${seed}`);
    assert.deepEqual(endsOf(newest), endsOf(all), `seed ${seed}`);
    const against = (rig) =>
      judgedMap(rig).contradictions.map(({ part, expected, seen }) => `${part} ${expected} ${seen}`);
    assert.deepEqual([...new Set(against(newest))].sort(), [...new Set(against(all))].sort(), `seed ${seed}`);
  }
});

test("what is kept afterwards stands among them, and what the server says of it", async () => {
  await transact("kept", "readwrite", (kept) => void kept.put("Kim", "account"));
  await filled(lived(400, drawing(1)));
  const check = record("arrival-check", { judgement: { verdict: "use" } });
  await keep(check);

  assert.equal(await readBy(newestRows), 0);
  const stands = async () => (await newestRows()).find(({ id }) => id === check.id)?.saved;
  assert.equal(await stands(), "phone");
  assert.deepEqual(
    (await unsentRows(newestRows())).map(({ id }) => id),
    [check.id],
  );
  await settle(await unsentRows(), [{ id: check.id, status: "stored", hash: hashOf(check), seq: 9000 }], "Kim");
  assert.equal(await readBy(newestRows), 0);
  assert.equal(await stands(), "server");
});

test("where a record goes, all rows are read again, so that what it had put behind it stands", async () => {
  await filled(lived(400, drawing(2)));
  const [last] = await allRows();
  const correction = record(last.record.kind, last.record.body, { corrects: last.id, rig: last.record.rig });
  await keep(correction);
  await discard([correction.id]);

  assert.deepEqual(
    (await newestRows()).map(({ id }) => id),
    (await allRows()).map(({ id }) => id),
  );
});

test("a page of an earlier release lets nothing follow; what it wrote is read all the same", async () => {
  await filled(lived(400, drawing(3)));
  const check = record("arrival-check", { judgement: { verdict: "use" } });
  const request = indexedDB.open("fieldlog");
  const db = await outcome(request);
  const writing = db.transaction("records", "readwrite");
  writing.objectStore("records").put(confirmed([check])[0]);
  await new Promise((resolve) => writing.addEventListener("complete", resolve));
  db.close();

  assert.ok((await newestRows()).some(({ id }) => id === check.id));
});

test("another account's rows and what the server has not confirmed are never left out", () => {
  const rows = confirmed(lived(400, drawing(4))).map((row, i) => ({
    ...row,
    account: i % 7 ? "Kim" : "Robin",
    saved: i % 5 ? "server" : "phone",
  }));
  const left = new Set(newestOf(rows, "Kim").map(({ id }) => id));

  for (const row of rows) if (row.account === "Robin" || row.saved === "phone") assert.ok(left.has(row.id));
});

test("two records of one thing say the same of it, or not", () => {
  assert.ok(CASES.length > 10);
  for (const { why, kind, same, bodies } of CASES) {
    const [one, other] = bodies.map((body) => told({ kind, body }));
    assert.equal(one === other, same, why);
  }
});
