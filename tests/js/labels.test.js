import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { kindsOfBook, labelsOfBook } from "../../deploy/javascript/book.mjs";
import { CONTINUITIES, DETECTOR, PAIRS } from "../../static/js/lib/words.js";
import { cardMarkup } from "../../static/js/phone/card.js";
import { labelOf } from "../../static/js/phone/labels.js";
import { formOf } from "../../static/js/phone/mending.js";
import * as phone from "../../static/js/phone/naming.js";
import * as rig from "../../static/js/rig/words.js";

const read = (name) => JSON.parse(readFileSync(new URL(`../../${name}`, import.meta.url), "utf8"));
const SCHEMA = read("schemas/record.schema.json");
const KINDS = [
  ...read("schemas/facts/kinds.json").entries,
  ...(await kindsOfBook()).map((kind) => ({ ...kind, of: ["record"] })),
];
const LABELS = await labelsOfBook();
const NAMES = { pair: PAIRS, near: DETECTOR, continuity: CONTINUITIES };

const resolved = (schema) => (schema.$ref ? resolved(SCHEMA.$defs[schema.$ref.split("/").at(-1)]) : schema);

/** Every place that a problem may point at in what a schema describes: members, entries of lists, what holds them. */
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

/** The places that the table names for a kind, each written out. */
function namedFor(kind) {
  const told = LABELS.filter(({ of }) => !of || of.includes(kind)).flatMap(({ places }) => Object.entries(places));
  return told.flatMap(([at, label]) => {
    const by = /\{(pair|near|continuity)\}/.exec(label)?.[1];
    const names = by ? Object.keys(NAMES[by]) : ["made-up"];
    return at.includes("*") ? names.map((name) => at.replace("*", name)) : [at];
  });
}

for (const kind of SCHEMA.properties.kind.enum) {
  test(`each place of a record of the kind ${kind} that can be at fault has its own label`, () => {
    const named = namedFor(kind).map((at) => at.replaceAll("#", "0"));

    assert.deepEqual(["", ...named].sort(), placesOf(kind));
  });

  test(`no label of the kind ${kind} leaves a name or a number out`, () => {
    for (const at of placesOf(kind)) assert.doesNotMatch(labelOf(at, kind, LABELS), /[{}_#*]|undefined|NaN/, at);
  });
}

/** What is called alike in records of several kinds, and means another thing in each. */
const OF_KINDS = {
  "photo /body/what": "What the photo shows",
  "change /body/what": "What was changed",
  "round /body/steps/0/what": "Step 1, kind of step",
  "device /body/type": "Kind of device",
  "instrument /body/type": "Kind of instrument",
  "photo /body/type": "Kind of picture",
  "arrival-check /body/check/outlet": "Outlet",
  "rig /body/outlet": "Its own plug fits",
  "outlet /body/outlet": "Outlet",
  "rig-map /body/parts/0/outlet": "Part 0, number of its outlet",
  "rig-map /body/parts/3/device": "Part 3, number of its device",
  "outlet-test /body/check/trip/0/device": "Press 1, which device tripped",
  "change /body/device": "Device put in",
  "change /body/parts/1": "Parts that were changed, 2",
  "rig-map /body/parts/1": "Part 1",
  "proof /body/part": "Part",
  "look /body/of": "Looked at",
  "round /body/steps/4/of": "Step 5, looked at",
  "proof /body/pair": "Contacts",
  "instrument /body/lamps/2/pair": "Lamp 3, contacts it sits between",
  "arrival-check /body/check/lamps/h-n": "Lamp hot–neutral",
  "trip-test /body/by": "How it was tripped",
  "plug-in /body/skin/by": "The rig’s skin, how it was tried",
  "plug-in /body/skin/volts": "The rig’s skin, volts to earth",
  "outlet-test /body/check/volts/n-g": "Volts neutral–ground",
  "look /body/not_tested/0": "Not looked at, 1",
  "trip-test /body/not_tested/0": "Not tested, 1",
  "arrival-check /body/judgement": "Judgement when it was made",
  "arrival-check /body/place/park": "Campground",
  "rig-map /body/parts/0/amps": "Part 0, rating in amps",
  "outlet-test /body/check/loaded/amps": "Under load, amps of the load",
  "rig-map /body/modes/shore/without/1": "Mode “shore”, runs left out, 2",
  "outlet-test /body/check/more/1/volts/n-g": "Set 3, volts neutral–ground",
  "outlet-test /body/check/continuity/n-g": "Continuity, Neutral to ground, nothing live",
  "outlet-test /body/check/near/g": "Detector at the ground contact",
};

test("what is called alike in records of several kinds is named by the kind", () => {
  for (const [place, label] of Object.entries(OF_KINDS)) {
    const [kind, at] = place.split(" ");
    assert.equal(labelOf(at, kind, LABELS), label, place);
  }
});

test("what no record of the kind has is named as it stands, and so is all before the table is here", () => {
  assert.equal(labelOf("/something_new", "rig", LABELS), "Something new");
  assert.equal(labelOf("/body/constructor", "rig", LABELS), "Constructor");
  assert.equal(labelOf("/body/what", "leak-search", LABELS), "What");
  assert.equal(labelOf("/body/what", undefined, LABELS), "What");
  assert.equal(labelOf("/body/check/volts/1-2", "outlet-test", LABELS), "Volts 1-2");
  assert.equal(labelOf("", "rig", LABELS), "The record");
  assert.equal(labelOf("/body/steps/0/why", "round", []), "Steps, 0, why");
  assert.equal(labelOf("", "rig", []), "The record");
});

test("a card and a form name a place by the kind of the record", () => {
  const record = { id: "x", kind: "change", body: { what: "" } };
  const problems = [{ at: "/body/what", problem: "It is empty; write something." }];
  const row = { id: "x", record, saved: "refused", problems };

  assert.match(cardMarkup(row, [], 0, LABELS).text, /<b>What was changed:<\/b> It is empty/);
  assert.deepEqual(
    formOf(record, problems, LABELS).fields.map(({ label }) => label),
    ["What was changed"],
  );
});

const begun = ([first, ...rest]) => first.toUpperCase() + rest.join("");
const namesOf = (...of) =>
  Object.fromEntries(
    KINDS.filter((kind) => of.some((each) => kind.of.includes(each))).map(({ id, name }) => [id, begun(name)]),
  );

test("the phone calls each kind of record what the table calls it", () => {
  const names = namesOf("record");

  assert.deepEqual(Object.keys(names).sort(), [...SCHEMA.properties.kind.enum].sort());
  for (const [kind, name] of Object.entries(names)) assert.equal(phone.kindOf({ kind }), name);
});

test("the phone calls each kind of part and device what the table calls it", () => {
  const parts = SCHEMA.$defs["rig-part"].properties.kind.enum;

  assert.deepEqual(Object.keys(namesOf("part")).sort(), [...parts].sort());
  assert.deepEqual(
    Object.keys(namesOf("device", "set")).sort(),
    [...SCHEMA.$defs["body-device"].properties.type.enum].sort(),
  );
  for (const [kind, name] of Object.entries(namesOf("part"))) assert.equal(rig.kindOf({ kind }), name);
  assert.equal(rig.kindOf({ kind: "breaker", gfci: true }), namesOf("device")["gfci-breaker"]);
});
