import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { labelOf } from "../../static/js/phone/labels.js";
import * as phone from "../../static/js/phone/naming.js";
import * as rig from "../../static/js/rig/words.js";

const read = (name) => JSON.parse(readFileSync(new URL(`../../${name}`, import.meta.url), "utf8"));
const SCHEMA = read("schemas/record.schema.json");
const KINDS = read("schemas/facts/kinds.json").entries;
const CASES = read("tests/cases/labels.json");

const resolved = (schema) => (schema.$ref ? resolved(SCHEMA.$defs[schema.$ref.split("/").at(-1)]) : schema);

/** Every place in what a schema describes that a problem may point at: members, entries of lists, and what holds them. */
function placesIn(schema, at = "") {
  const { properties = {}, items, additionalProperties: others, propertyNames, then, else: or } = resolved(schema);
  const inner = Object.entries(properties).filter(([, member]) => member !== true);
  const named = others ? (resolved(propertyNames).enum ?? ["made-up"]).map((name) => [name, others]) : [];
  const members = [...inner, ...named, ...(items ? [["0", items]] : [])];
  return [
    at,
    ...members.flatMap(([name, member]) => placesIn(member, `${at}/${name}`)),
    ...[then, or].filter(Boolean).flatMap((branch) => placesIn(branch, at)),
  ];
}

function placesOf(kind) {
  const { then } = SCHEMA.allOf.find((each) => each.if.properties.kind.const === kind);
  const { allOf, $defs, ...record } = SCHEMA;
  return [...new Set([...placesIn(record), ...placesIn(then.properties.body, "/body")])].sort();
}

/** The labels that tests/cases/labels.json gives to a kind, each place written out. */
function wantedFor(kind) {
  const isCheck = "check" in resolved(SCHEMA.$defs[`body-${kind}`]).properties;
  const told = { ...CASES["every kind"], ...(isCheck ? CASES["every check"] : {}), ...CASES.kinds[kind] };
  const places = Object.entries(told).flatMap(([at, label]) => {
    const by = /\{(\w+)\}/.exec(at)?.[1];
    return by
      ? Object.entries(CASES[by]).map((pair) => [at.replace(`{${by}}`, pair[0]), worded(label, by, pair[1])])
      : [[at, label]];
  });
  return places.map(([at, label]) => [at.replaceAll("#", "0"), label]).sort();
}

const worded = (label, by, words) => label.replace(`{${by}}`, words);

for (const kind of SCHEMA.properties.kind.enum)
  test(`each place of a record of the kind ${kind} that can be at fault has its own label`, () => {
    const found = placesOf(kind).map((at) => [at, labelOf(at, kind)]);

    assert.deepEqual(found, wantedFor(kind));
  });

test("a further entry of a list has its own number", () => {
  assert.equal(labelOf("/body/check/more/1/volts/n-g", "outlet-test"), "Set 3, volts neutral–ground");
  assert.equal(labelOf("/body/check/look/4", "outlet-test"), "What was seen, 5");
  assert.equal(labelOf("/body/runs/7/to", "rig-map"), "Run 7, to");
});

test("what no record of the kind has is named as it stands", () => {
  assert.equal(labelOf("/something_new", "rig"), "Something new");
  assert.equal(labelOf("/body/something_new", "rig"), "Something new");
  assert.equal(labelOf("/body/constructor", "rig"), "Constructor");
  assert.equal(labelOf("/body/what", "leak-search"), "What");
  assert.equal(labelOf("/body/what", undefined), "What");
  assert.equal(labelOf("/body/check/volts/1-2", "outlet-test"), "Volts 1-2");
});

const begun = ([first, ...rest]) => first.toUpperCase() + rest.join("");
const namesOf = (...of) =>
  Object.fromEntries(
    KINDS.filter((kind) => of.some((each) => kind.of.includes(each))).map(({ id, name }) => [id, begun(name)]),
  );

test("the phone calls each kind of record what the table calls it", () => {
  assert.deepEqual(phone.KINDS, namesOf("record"));
  assert.deepEqual(Object.keys(phone.KINDS).sort(), [...SCHEMA.properties.kind.enum].sort());
});

test("the phone calls each kind of part and device what the table calls it", () => {
  assert.deepEqual(rig.KINDS, namesOf("part", "device"));
  const parts = SCHEMA.$defs["rig-part"].properties.kind.enum;
  assert.deepEqual(Object.keys(namesOf("part")).sort(), [...parts].sort());
  assert.deepEqual(Object.keys(namesOf("device")).sort(), [...SCHEMA.$defs["body-device"].properties.type.enum].sort());
  assert.equal(rig.kindOf({ kind: "breaker", gfci: true }), namesOf("device")["gfci-breaker"]);
});
