// What the kinds of parts of a map can do, from schemas/facts/kinds.json, and what of a part or a run can be chosen,
// from the schema of records: once for both languages. kinds.mjs writes it.
import { readFile } from "node:fs/promises";
import { join } from "node:path";

const TABLE = "schemas/facts/kinds.json";
const BANNER = `Made from ${TABLE} and the book by deploy/javascript/part-kinds.mjs; not edited by hand.`;
const CAN = {
  PLUGS: ["plug", "What something is plugged into."],
  OUTLETS: ["outlet", "What a person can touch or plug into; a guard is asked for these."],
  TRIPPING: ["tripping", "What opens by its own device when it trips."],
  TWO_SIDED: [
    "two-sided",
    "Devices on which a run may leave from either side; beyond a breaker everything is on its load side.",
  ],
};

/** @returns {Promise<{id: string, is?: string[]}[]>} the kinds of parts in the order of the table */
export async function partKinds() {
  const { entries } = JSON.parse(await readFile(join(import.meta.dirname, "../..", TABLE), "utf8"));
  return entries.filter(({ of }) => of.includes("part"));
}

const groups = (kinds) =>
  Object.entries(CAN).map(([name, [trait, says]]) => [
    name,
    kinds.filter(({ is }) => is?.includes(trait)).map(({ id }) => id),
    says,
  ]);

const chosen = ({ enum: all }) => all.filter((each) => each !== null);

/** What can be chosen, by the name that both languages know it by. */
function choices({ $defs: defs }) {
  const { "rig-part": part, "rig-run": run, "body-plan": plan, "body-trip-test": trip } = defs;
  return [
    ["PLACES", chosen(part.properties.where.items), "Where common practice wants a guard."],
    ["LEGS", chosen(part.properties.leg), "The hots of a supply with two; a two-pole breaker stands on both."],
    ["SIDES", chosen(run.properties.from_side), "Of a device that has two."],
    ["CORDS", chosen(run.properties.cord), "A cord set bought whole and listed, and one made up of listed pieces."],
    ["WAYS", chosen(trip.properties.by), "In which a device is made to trip."],
    ["RUN_GAUGES", chosen(run.properties.awg), "Of the wires of a map, thinnest first [AWG]."],
    ["CORD_GAUGES", chosen(plan.properties.cords.items.properties.awg), "Of cords, thinnest first [AWG]."],
  ];
}

/** @param {object} schema of records @returns {Promise<string>} fieldlog/model/part_kinds.py */
export async function partKindsForPython(schema) {
  const kinds = await partKinds();
  const all = [["KINDS", kinds.map(({ id }) => id), "Of parts of a map."], ...groups(kinds), ...choices(schema)];
  const lines = all.map(([name, values, says]) => `${tupleOf(name, values)}\n"""${says}"""\n`);
  return `"""${BANNER}"""\n\nfrom typing import Final\n\n${lines.join("")}`;
}

/** As ruff formats it. */
function tupleOf(name, values) {
  const all = values.map((each) => JSON.stringify(each));
  const flat = `${name}: Final = (${all.join(", ")})`;
  return flat.length <= 110 ? flat : `${name}: Final = (\n${all.map((each) => `    ${each},\n`).join("")})`;
}

/** @param {object} schema of records @returns {Promise<string>} static/js/engine/part-kinds.js */
export async function partKindsForPages(schema) {
  const cords = choices(schema).filter(([name]) => name === "CORD_GAUGES");
  const lines = [
    ...groups(await partKinds()).map(([name, values, says]) => [name, values, says, "(string|undefined)[]"]),
    ...cords.map((each) => [...each, "number[]"]),
  ].map(
    ([name, values, says, type]) =>
      `/**
 * ${says}
 * @type {${type}}
 */
export const ${name} = ${JSON.stringify(values)};\n`,
  );
  return `// ${BANNER}\n\n${lines.join("\n")}`;
}

/** How both languages call what is chosen, [name, words by choice]; each choice has words, and nothing else does. */
async function wordsOfChoices(schema) {
  const file = join(import.meta.dirname, "../../schemas/book/part-choices.json");
  const { entries } = JSON.parse(await readFile(file, "utf8"));
  const known = new Map(choices(schema));
  return entries.map(({ id, words }) => {
    if (String(Object.keys(words)) !== String(known.get(id)))
      throw new Error(`The words of ${id} are not its choices.`);
    return [id, words];
  });
}

/** @param {object} schema of records @returns {Promise<string>} fieldlog/words/part_choices.py */
export async function choicesForPython(schema) {
  const lines = (await wordsOfChoices(schema)).map(([name, words]) => {
    const all = Object.entries(words).map(([id, word]) => `${JSON.stringify(id)}: ${JSON.stringify(word)}`);
    return `${name}: Final = {${all.join(", ")}}\n`;
  });
  return `"""${BANNER}"""\n\nfrom typing import Final\n\n${lines.join("")}`;
}

/** @param {object} schema of records @returns {Promise<string>} static/js/rig/part-choices.js */
export async function choicesForPages(schema) {
  const lines = (await wordsOfChoices(schema)).map(
    ([name, words]) => `export const ${name} = ${JSON.stringify(words)};\n`,
  );
  return `// ${BANNER}\n\n${lines.join("")}`;
}
