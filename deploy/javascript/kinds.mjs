// Makes what follows from the kinds of record in schemas/book/kinds: the schema of records, the names that the scripts
// carry and the shape of each body; the names of parts and devices, from schemas/facts/kinds.json, the words of the
// stops on a map, from protection.json beside it, which contacts an outlet has and what a number may be. Run by hand;
// the step types compares.
import { execFileSync } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { textOfBodies } from "./bodies.mjs";
import { kindsOfBook, recordSchema } from "./book.mjs";
import { textForEngine, textForPython, textOfPairs } from "./contacts.mjs";
import { choicesForPages, choicesForPython, partKindsForPages, partKindsForPython } from "./part-kinds.mjs";
import { rangesForPages, rangesForPython, unitsForPages } from "./ranges.mjs";
import { textOfShapes, textOfTypes } from "./typed.mjs";

const ROOT = join(import.meta.dirname, "../..");
const TABLE = "schemas/facts/kinds.json";
const ADVICE = "schemas/facts/protection.json";
const BOOK = "schemas/book/kinds";
const MOST = 110;
const STOPS = "static/js/rig/stops.js";
const FIGURES = "schemas/facts/planning.json";
const banner = (table) => `// Made from ${table} by deploy/javascript/kinds.mjs; not edited by hand.`;

/** What is made, each with how; the names twice, because no page needs both. */
const MADE = {
  "static/js/phone/kinds.js": async () => textOfNames(BOOK, await kindsOfBook()),
  "static/js/rig/kinds.js": async () => textOfNames(TABLE, await partsAndDevices()),
  "static/js/outbox/bodies.js": async () => formatted(`${banner(BOOK)}\n${textOfBodies(await recordSchema())}`),
  "schemas/record.schema.json": async () => `${laidOut(await recordSchema())}\n`,
  [STOPS]: textOfStops,
  "static/js/engine/legs.js": textOfLegs,
  "static/js/engine/contacts.js": async () => formatted(await textForEngine()),
  "static/js/lib/contacts.js": async () => formatted(await textOfPairs()),
  "static/js/engine/part-kinds.js": async () => formatted(await partKindsForPages(await recordSchema())),
  "static/js/lib/ranges.js": async () => formatted(await unitsForPages()),
  "static/js/check/ranges.js": async () => formatted(await rangesForPages("CHECK")),
  "static/js/proving/ranges.js": async () => formatted(await rangesForPages("PROOF", "SHOP")),
  "static/js/planner/ranges.js": async () => formatted(await rangesForPages("PLAN", "READING", "LOAD")),
  "fieldlog/model/outlets.py": textForPython,
  "static/js/rig/part-choices.js": async () => formatted(await choicesForPages(await recordSchema())),
  "fieldlog/words/part_choices.py": async () => choicesForPython(await recordSchema()),
  "fieldlog/model/part_kinds.py": async () => partKindsForPython(await recordSchema()),
  "fieldlog/model/spans.py": rangesForPython,
  "fieldlog/model/shapes.py": async () => textOfShapes(await recordSchema()),
  "fieldlog/model/bodies.py": async () => textOfTypes(await recordSchema()),
};

async function partsAndDevices() {
  const { entries } = JSON.parse(await readFile(join(ROOT, TABLE), "utf8"));
  return entries;
}

function textOfNames(table, kinds) {
  const names = Object.entries(Object.fromEntries(kinds.map(({ id, name }) => [id, name])));
  const lines = names.map(([id, name]) => `  ${keyOf(id)}: ${JSON.stringify(begun(name))},\n`);
  return `${banner(table)}\n\n/** As a page begins with it. */\nexport const KINDS = {\n${lines.join("")}};\n`;
}

/** A value over as few lines as fit. */
function laidOut(value, indent = "") {
  const flat = JSON.stringify(value, null, 1).replace(/\n */g, " ");
  if (indent.length + flat.length <= MOST || typeof value !== "object" || value === null) return flat;
  const inner = `${indent}  `;
  const parts = Array.isArray(value)
    ? value.map((each) => inner + laidOut(each, inner))
    : Object.entries(value).map(([key, each]) => `${inner}${JSON.stringify(key)}: ${laidOut(each, inner)}`);
  const [open, close] = Array.isArray(value) ? "[]" : "{}";
  return `${open}\n${parts.join(",\n")}\n${indent}${close}`;
}

/** As biome formats it. */
function formatted(script) {
  const biome = join(ROOT, "deploy/node_modules/.bin/biome");
  return execFileSync(biome, ["format", `--config-path=${ROOT}`, "--stdin-file-path=made.js"], {
    input: script,
    encoding: "utf8",
  });
}

/** The phone says of a stop what the server says. */
async function textOfStops() {
  const { entries } = JSON.parse(await readFile(join(ROOT, ADVICE), "utf8"));
  const stops = entries.filter(({ level }) => level === "stop");
  const lines = stops.map(
    ({ id, says, do: now }) => `  ${keyOf(id)}: {\n    says:\n${inLines(says)},\n    now:\n${inLines(now)},\n  },\n`,
  );
  const head = `${banner(ADVICE)}\n\n/** By id, what a stop says and what to do now. */\n`;
  return `${head}export const STOPS = {\n${lines.join("")}};\n`;
}

/** A sentence over several lines of a script, none longer than the house allows. */
function inLines(text) {
  const lines = text.match(/.{1,100}(\s|$)/g);
  return lines.map((line) => `      ${JSON.stringify(line)}`).join(" +\n");
}

/** What the engine of the phone needs of the tables before any is read. */
async function textOfLegs() {
  const { entries } = JSON.parse(await readFile(join(ROOT, FIGURES), "utf8"));
  const of = (wanted) => entries.find(({ id }) => id === wanted);
  const { value, source } = of("two-legs-from");
  const share = of("neutral-share");
  return (
    `${banner(FIGURES)}\n\n/** An inlet of so many amperes has two hots; ${source.split(":")[0]}. */\n` +
    `export const TWO_LEGS_FROM_AMPS = ${value};\n\n` +
    `/** So much of a loop's ohms has the neutral; ${share.source.split(":")[0]}. */\n` +
    `export const NEUTRAL_SHARE = ${share.value};\n`
  );
}

const keyOf = (id) => (/^\w+$/.test(id) ? id : JSON.stringify(id));
const begun = (name) => name[0].toUpperCase() + name.slice(1);

/** @returns {Promise<string[]>} the scripts that are missing or differ from what the table gives */
export async function staleKinds() {
  const checked = Object.entries(MADE).map(async ([file, made]) => {
    const kept = await readFile(join(ROOT, file), "utf8").catch(() => null);
    return kept === (await made()) ? [] : [file];
  });
  return (await Promise.all(checked)).flat();
}

if (process.argv[1] === import.meta.filename) {
  for (const [file, made] of Object.entries(MADE)) await writeFile(join(ROOT, file), await made());
}
