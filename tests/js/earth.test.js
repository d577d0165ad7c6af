import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { earthSaid } from "../../static/js/check/earth.js";
import { provesEarth } from "../../static/js/engine/earth.js";

const BOOK = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const FULL_VOLTS = BOOK.limits["contacts-apart"].value;
const asSaid = (values) => earthSaid(values, FULL_VOLTS, (check) => provesEarth(check, BOOK));
const READ = { outlet: "TT-30", supply: "utility", "volts.h-n": "121", "volts.h-g": "121,0", "volts.n-g": "0.3" };
const said = (typed) => asSaid({ ...READ, ...typed });

test("a hot contact near the full volts proves the earth", () => {
  assert.match(said({ "volts.h-e": "120.4" }), /^Proved: 120.4 V of 121 V/);
});

test("any contact does, as that of a reversed outlet", () => {
  assert.match(said({ "volts.h-e": "0.4", "volts.n-e": "120" }), /^Proved/);
});

test("a clip on paint reads nothing, and nothing is not clean", () => {
  assert.match(said({ "volts.h-e": "0" }), /^Not proved: 0 V of 121 V. Read the other contacts/);
  assert.match(said({ "volts.h-e": "2", "volts.n-e": "0", "volts.g-e": "0" }), /V. Until one contact/);
});

test("a ground that lies between hot and earth proves it by both together", () => {
  assert.match(said({ "volts.h-e": "80", "volts.g-e": "40" }), /^Proved/);
  assert.match(said({ "volts.h-e": "40", "volts.g-e": "40" }), /^Not proved/);
});

test("where nothing is live between hot and ground, sums to an earth prove nothing", () => {
  assert.match(said({ "volts.h-g": "0", "volts.n-g": "121", "volts.h-e": "60", "volts.g-e": "60" }), /^Not proved/);
});

test("nothing is said before a reading, without full volts, and of a source that floats", () => {
  assert.equal(said({}), "");
  assert.equal(said({ "volts.h-e": "abc" }), "");
  assert.equal(said({ "volts.h-n": "60", "volts.h-g": "60", "volts.h-e": "60" }), "");
  assert.equal(said({ supply: "inverter", "volts.h-e": "60" }), "");
});

test("with two legs each leg counts against its own volts and not against both", () => {
  const legs = { outlet: "14-50", supply: "utility", "volts.x-y": "241", "volts.x-n": "120.5", "volts.y-n": "120.4" };

  assert.match(asSaid({ ...legs, "volts.x-e": "120" }), /^Proved/);
});
