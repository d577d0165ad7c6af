// Makes the names of the limits that a rulebook has to have, from the tables that the rulebook is compiled from. Run by
// hand; the step types compares.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";

const ROOT = join(import.meta.dirname, "../..");
const TABLES = ["supply", "judging"];
const SCRIPT = "static/js/engine/needed.js";
const BANNER = "// Made from schemas/limits by deploy/javascript/limits.mjs; not edited by hand.";

async function textOfLimits() {
  const read = TABLES.map((name) => readFile(join(ROOT, "schemas/limits", `${name}.json`), "utf8"));
  const ids = (await Promise.all(read)).flatMap((text) => JSON.parse(text).entries.map(({ id }) => id));
  const lines = [...new Set(ids)].map((id) => `  ${JSON.stringify(id)},\n`);
  return `${BANNER}

/** A rulebook without one of these is refused. */
export const NEEDED_LIMITS = [
${lines.join("")}];
`;
}

/** @returns {Promise<string[]>} the script, where it is missing or differs from what the tables give */
export async function staleLimits() {
  const kept = await readFile(join(ROOT, SCRIPT), "utf8").catch(() => null);
  return kept === (await textOfLimits()) ? [] : [SCRIPT];
}

if (process.argv[1] === import.meta.filename) await writeFile(join(ROOT, SCRIPT), await textOfLimits());
