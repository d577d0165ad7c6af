// Makes the names of kinds that the scripts carry, from schemas/facts/kinds.json, and the words of the stops on a map,
// from protection.json beside it. Run by hand; the step types compares.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";

const ROOT = join(import.meta.dirname, "../..");
const TABLE = "schemas/facts/kinds.json";
const ADVICE = "schemas/facts/protection.json";
const STOPS = "static/js/rig/stops.js";
const FIGURES = "schemas/facts/planning.json";
const LEGS = "static/js/engine/legs.js";
const banner = (table) => `// Made from ${table} by deploy/javascript/kinds.mjs; not edited by hand.`;

/** By script, what it names. Two, because no page needs both. */
const SCRIPTS = {
  "static/js/phone/kinds.js": ["record"],
  "static/js/rig/kinds.js": ["part", "device", "set"],
};

async function textOf(things) {
  const { entries } = JSON.parse(await readFile(join(ROOT, TABLE), "utf8"));
  const named = entries.filter((kind) => things.some((each) => kind.of.includes(each)));
  const names = Object.entries(Object.fromEntries(named.map(({ id, name }) => [id, name])));
  const lines = names.map(([id, name]) => `  ${keyOf(id)}: ${JSON.stringify(begun(name))},\n`);
  return `${banner(TABLE)}\n\n/** As a page begins with it. */\nexport const KINDS = {\n${lines.join("")}};\n`;
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
  const { value, source } = entries.find(({ id }) => id === "two-legs-from");
  const head = `${banner(FIGURES)}\n\n/** An inlet of so many amperes has two hots; ${source.split(":")[0]}. */\n`;
  return `${head}export const TWO_LEGS_FROM_AMPS = ${value};\n`;
}

const keyOf = (id) => (/^\w+$/.test(id) ? id : JSON.stringify(id));
const begun = (name) => name[0].toUpperCase() + name.slice(1);

/** @returns {Promise<string[]>} the scripts that are missing or differ from what the table gives */
export async function staleKinds() {
  const made = [...Object.entries(SCRIPTS).map(([script, things]) => [script, textOf(things)]), [STOPS, textOfStops()], [LEGS, textOfLegs()]];
  const checked = made.map(async ([script, text]) => {
    const kept = await readFile(join(ROOT, script), "utf8").catch(() => null);
    return kept === (await text) ? [] : [script];
  });
  return (await Promise.all(checked)).flat();
}

if (process.argv[1] === import.meta.filename) {
  for (const [script, things] of Object.entries(SCRIPTS)) await writeFile(join(ROOT, script), await textOf(things));
  await writeFile(join(ROOT, STOPS), await textOfStops());
  await writeFile(join(ROOT, LEGS), await textOfLegs());
}
