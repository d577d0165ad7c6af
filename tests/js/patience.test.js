import assert from "node:assert/strict";
import test from "node:test";

import { clockOffset, nextTry, parts, retryAfter } from "../../static/js/lib/patience.js";

const MINUTE_MS = 60000;

test("what fails is tried again after a minute, a quarter of an hour, then each hour, a little later each time", () => {
  assert.deepEqual(
    [1, 2, 3, 4, 5, 50].map((tries) => nextTry(tries, 0, 0) / MINUTE_MS),
    [1, 15, 60, 60, 60, 60],
  );
  assert.equal(nextTry(3, 0, 1) / MINUTE_MS, 75);
  assert.ok(nextTry(1, 1000) >= 1000 + MINUTE_MS);
});

test("a server that asks to be left alone says it in seconds or as a date, and never for more than an hour", () => {
  const now = Date.parse("Wed, 25 Nov 2026 12:00:00 GMT");

  assert.equal(retryAfter("120", now), 120);
  assert.equal(retryAfter("Wed, 25 Nov 2026 12:01:30 GMT", now), 90);
  assert.equal(retryAfter("Wed, 25 Nov 2026 11:00:00 GMT", now), 1);
  assert.equal(retryAfter("999999", now), 3600);
  assert.equal(retryAfter("soon", now), null);
  assert.equal(retryAfter(null, now), null);
});

test("a batch is cut so that one bad record of a hundred is alone after two cuts", () => {
  const hundred = Array.from({ length: 100 }, (_, i) => i);

  assert.deepEqual(
    parts(hundred).map(({ length }) => length),
    Array(10).fill(10),
  );
  assert.deepEqual(parts(hundred).flat(), hundred);
  assert.deepEqual(parts([1, 2, 3]), [[1], [2], [3]]);
  assert.deepEqual(
    parts(hundred.slice(0, 11)).map(({ length }) => length),
    [2, 2, 2, 2, 2, 1],
  );
});

test("the clocks are compared at the middle of asking and hearing", () => {
  assert.equal(
    clockOffset("2026-11-25T12:00:10.000Z", Date.parse("2026-11-25T12:00:00Z"), Date.parse("2026-11-25T12:00:04Z")),
    8,
  );
  assert.equal(clockOffset(undefined, 0, 0), null);
});
