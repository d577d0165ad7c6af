// Makes the names of kinds that the scripts carry, from schemas/facts/kinds.json. Run by hand; the step types compares.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";

const ROOT = join(import.meta.dirname, "../..");
const TABLE = "schemas/facts/kinds.json";
const BANNER = `// Made from ${TABLE} by deploy/javascript/kinds.mjs; not edited by hand.`;

/** By script, what it names. Two, because no page needs both. */
const SCRIPTS = {
  "static/js/phone/kinds.js": ["record"],
  "static/js/rig/kinds.js": ["part", "device"],
};

async function textOf(things) {
  const { entries } = JSON.parse(await readFile(join(ROOT, TABLE), "utf8"));
  const named = entries.filter((kind) => things.some((each) => kind.of.includes(each)));
  const names = Object.entries(Object.fromEntries(named.map(({ id, name }) => [id, name])));
  const lines = names.map(([id, name]) => `  ${keyOf(id)}: ${JSON.stringify(begun(name))},\n`);
  return `${BANNER}\n\n/** As a page begins with it. */\nexport const KINDS = {\n${lines.join("")}};\n`;
}

const keyOf = (id) => (/^\w+$/.test(id) ? id : JSON.stringify(id));
const begun = (name) => name[0].toUpperCase() + name.slice(1);

/** @returns {Promise<string[]>} the scripts that are missing or differ from what the table gives */
export async function staleKinds() {
  const checked = Object.entries(SCRIPTS).map(async ([script, things]) => {
    const kept = await readFile(join(ROOT, script), "utf8").catch(() => null);
    return kept === (await textOf(things)) ? [] : [script];
  });
  return (await Promise.all(checked)).flat();
}

if (process.argv[1] === import.meta.filename) {
  for (const [script, things] of Object.entries(SCRIPTS)) await writeFile(join(ROOT, script), await textOf(things));
}
