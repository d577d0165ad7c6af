// Makes schemas/shapes/*.d.ts, the shapes that the scripts name in their comments, from the schemas. Run by hand; the
// step types compares.
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { compile } from "json-schema-to-typescript";
import { described } from "./described.mjs";

const SCHEMAS = join(import.meta.dirname, "../../schemas");
const BANNER = "// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.";

/** By shape: the schema that it is made from, and the name of the whole. */
const SHAPES = {
  record: ["record.schema.json", "LogRecord"],
  api: ["openapi.json", "Answer"],
  rulebook: ["rulebook.schema.json", "Rulebook"],
  "rig-rules": ["rig-rules.schema.json", "RigRules"],
  assessed: ["assessed.schema.json", "Assessed"],
  "phone-trial": ["phone-trial.schema.json", "PhoneTrial"],
};

async function textOf([schema, whole]) {
  const read = JSON.parse(await readFile(join(SCHEMAS, schema), "utf8"));
  return compile(described(read, whole), whole, {
    additionalProperties: false,
    unknownAny: true,
    bannerComment: BANNER,
    style: { printWidth: 120 },
  });
}

const fileOf = (shape) => join(SCHEMAS, "shapes", `${shape}.d.ts`);

/** @returns {Promise<string[]>} the files that are missing or differ from what their schemas give */
export async function staleShapes() {
  const checked = Object.entries(SHAPES).map(async ([shape, from]) => {
    const kept = await readFile(fileOf(shape), "utf8").catch(() => null);
    return kept === (await textOf(from)) ? [] : [`schemas/shapes/${shape}.d.ts`];
  });
  return (await Promise.all(checked)).flat();
}

if (process.argv[1] === import.meta.filename) {
  for (const [shape, from] of Object.entries(SHAPES)) await writeFile(fileOf(shape), await textOf(from));
}
