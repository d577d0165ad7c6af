import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { chains, current, leaves } from "../../static/js/outbox/chains.js";
import { recordWrongAt } from "../../static/js/outbox/filed-records.js";

const read = (path) => JSON.parse(readFileSync(new URL(path, import.meta.url), "utf8"));
const CASES = read("../cases/filed-records.json");
const SCHEMA = read("../../schemas/record.schema.json");
const RIGHT = CASES.filter(({ wrong_at: at }) => at === null).map(({ record }) => record);
const JUNK = [5, 1.5, true, "x", [], ["x"], {}, { x: 1 }, null];

for (const { what, record, wrong_at: at } of CASES) {
  test(`a record of a file: ${what}`, () => assert.equal(recordWrongAt(record), at));
}

test("what is no thing at all is no record", () => {
  for (const junk of [...JUNK, undefined]) assert.notEqual(recordWrongAt(junk), null);
});

test("a record of a kind of a later version is kept", () => {
  assert.equal(recordWrongAt({ ...RIGHT[0], kind: "voyage", body: { port: 1 } }), null);
  assert.equal(recordWrongAt({ ...RIGHT[0], kind: "toString", body: {} }), null);
});

test("every record that phones of earlier releases hold is kept", () => {
  const held = ["../cases/phone-store-1.json", "../releases/2026-11/queue.json"].flatMap((path) => read(path).records);
  assert.ok(held.length > 10);
  for (const { record } of held) assert.equal(recordWrongAt(record), null);
});

/** @returns {Record<string, any>} what the schema says of a member, references followed */
const resolved = (schema) => (schema.$ref ? { ...SCHEMA.$defs[schema.$ref.split("/").at(-1)] } : schema);

/** @returns {boolean} whether the schema allows a value of this type there; an enum of texts allows a text */
function allowsTypeOf(schema, value) {
  const type = value === null ? "null" : Array.isArray(value) ? "array" : typeof value;
  const types = schema.enum
    ? schema.enum.map((one) => (one === null ? "null" : typeof one))
    : [schema.type ?? []].flat();
  return types.map((one) => (one === "integer" ? "number" : one)).includes(type);
}

test("every kind has its shape here, and each member refuses what the schema gives another type", () => {
  const seen = new Set();
  for (const record of RIGHT) {
    seen.add(record.kind);
    const body = resolved(SCHEMA.$defs[`body-${record.kind}`]);
    const branch = [body.then, body.else]
      .filter(Boolean)
      .find((shape) => Object.keys(record.body).every((name) => name in shape.properties));
    const { properties, required } = branch ?? body;
    for (const [name, schema] of Object.entries(properties)) {
      if (schema === true) continue;
      for (const junk of JUNK.filter((one) => !allowsTypeOf(resolved(schema), one))) {
        assert.notEqual(
          recordWrongAt({ ...record, body: { ...record.body, [name]: junk } }),
          null,
          `${record.kind} ${name} ${JSON.stringify(junk)}`,
        );
      }
      const { [name]: _, ...without } = record.body;
      // Of an instrument only what every one has is asked for: no page draws the rest of it from a file.
      if (!branch || name === "name")
        assert.equal(
          recordWrongAt({ ...record, body: without }) === null,
          !required.includes(name),
          `${record.kind} ${name}`,
        );
    }
  }
  assert.deepEqual([...seen].sort(), [...SCHEMA.properties.kind.enum].sort());
});

test("chains are told whatever stands where corrections are named", () => {
  const rows = [5, "x", {}, null, [null], true].map((junk, i) => ({
    id: `r${i}`,
    record: { corrects: i % 2 ? "r0" : junk, also_corrects: junk },
  }));

  assert.equal(chains(rows).flatMap(leaves).length > 0, true);
  assert.equal(chains(rows).flat().length, rows.length);
  assert.equal(current(rows).length, chains(rows).length);
});
