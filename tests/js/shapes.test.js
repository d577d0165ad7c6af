// What the shapes made from the schemas let through, as TypeScript sees it.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import test from "node:test";
import { fileURLToPath } from "node:url";
import { described } from "../../deploy/javascript/described.mjs";

const ts = createRequire(new URL("../../deploy/package.json", import.meta.url))("typescript");
const SHAPES = fileURLToPath(new URL("../../schemas/shapes/", import.meta.url));
const FILE = `${SHAPES}tried.js`;

/** Says whether a value may be what a comment says of it. */
function isTaken(shape, value) {
  const type = `import("./${shape.replace(".", '.d.ts").')}`;
  const text = `/** @type {${type}} */\nexport const tried = ${JSON.stringify(value)};`;
  const options = { allowJs: true, checkJs: true, noEmit: true, strict: true, types: [], lib: ["lib.es2024.d.ts"] };
  const host = ts.createCompilerHost(options);
  const { getSourceFile, fileExists } = host;
  host.fileExists = (name) => name === FILE || fileExists(name);
  host.getSourceFile = (name, ...more) =>
    name === FILE ? ts.createSourceFile(name, text, ...more) : getSourceFile(name, ...more);
  return ts.getPreEmitDiagnostics(ts.createProgram([FILE], options, host)).length === 0;
}

const LOOK = { of: "cord", points: { "cord-jacket": "good" }, not_tested: [], note: "" };
const ID = "01938a10-0000-7000-8000-000000000001";
const RECORD = {
  id: ID,
  kind: "look",
  rig: ID,
  subject: null,
  observed_at: "2026-11-25T10:31:07+01:00",
  made_by: "Ann",
  instrument: null,
  body: LOOK,
  corrects: null,
  reason: null,
};

test("a body has the members of its schema, and no others", () => {
  assert.ok(isTaken("record.BodyLook", LOOK));
  assert.ok(!isTaken("record.BodyLook", { ...LOOK, colour: "any" }));
  assert.ok(!isTaken("record.BodyLook", { ...LOOK, points: { "cord-jacket": "so-so" } }));
  assert.ok(!isTaken("record.BodyLook", { of: "cord" }));
});

test("a record has the body of its kind", () => {
  assert.ok(isTaken("record.LogRecord", RECORD));
  assert.ok(!isTaken("record.LogRecord", { ...RECORD, kind: "round" }));
  assert.ok(!isTaken("record.LogRecord", { ...RECORD, rig: null }));
});

test("a condition on a member becomes a choice, and a map by enumerated names an object", () => {
  const schema = {
    type: "object",
    properties: { by: { enum: ["meter", "hand"] } },
    if: { properties: { by: { const: "meter" } } },
    // biome-ignore lint/suspicious/noThenProperty: a word of JSON Schema
    then: { properties: { by: true, volts: { $ref: "#/$defs/volts" } }, required: ["by", "volts"] },
    else: { properties: { by: true }, required: ["by"] },
    $defs: {
      pair: { enum: ["h-n", "h-g"] },
      volts: { propertyNames: { $ref: "#/$defs/pair" }, additionalProperties: { type: "number" }, minProperties: 1 },
    },
  };

  const { oneOf, $defs } = described(schema, "Tried");

  assert.deepEqual(
    oneOf.map(({ properties }) => properties.by),
    [{ enum: ["meter"] }, { enum: ["hand"] }],
  );
  assert.deepEqual(Object.keys($defs.volts.properties), ["h-n", "h-g"]);
  assert.equal($defs.volts.additionalProperties, false);
});
