// Makes the figures from which on the scripts say something, from schemas/facts/shown.json. Run by hand; the step types
// compares.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";

const ROOT = join(import.meta.dirname, "../..");
const TABLE = "schemas/facts/shown.json";
const SCRIPT = "static/js/lib/shown.js";
const MOST = 120;
const BANNER = `// Made from ${TABLE} by deploy/javascript/shown.mjs; not edited by hand.`;

async function text() {
  const { entries } = JSON.parse(await readFile(join(ROOT, TABLE), "utf8"));
  const told = entries.flatMap(({ id, value, says, how_sure: steps }) => [
    ...(value === undefined ? [] : [[nameOf(id), JSON.stringify(value)]]),
    ...(says === undefined ? [] : [[`${nameOf(id)}_SAYS`, JSON.stringify(says)]]),
    ...(steps === undefined ? [] : [[nameOf(id), listed(steps)]]),
  ]);
  return `${BANNER}\n\n${told.map(line).join("")}`;
}

/** As the formatter breaks a line that is too long. */
function line([name, value]) {
  const whole = `export const ${name} = ${value};`;
  return value.includes("\n") || whole.length <= MOST ? `${whole}\n` : `export const ${name} =\n  ${value};\n`;
}

const nameOf = (id) => id.replaceAll("-", "_").toUpperCase();
const listed = (steps) => {
  const lines = steps.map(([least, word]) => `  [${least}, ${JSON.stringify(word)}],\n`);
  return `/** @type {[number, string][]} */ ([\n${lines.join("")}])`;
};

/** @returns {Promise<string[]>} the script, where it is missing or differs from what the table gives */
export async function staleShown() {
  const kept = await readFile(join(ROOT, SCRIPT), "utf8").catch(() => null);
  return kept === (await text()) ? [] : [SCRIPT];
}

if (process.argv[1] === import.meta.filename) await writeFile(join(ROOT, SCRIPT), await text());
