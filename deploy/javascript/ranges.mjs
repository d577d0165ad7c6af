// What follows from schemas/book/ranges.json and the ranges of readings in schemas/facts/inputs.json: what a number may
// be, for both languages and for the schema of records. kinds.mjs writes it.
import { readFile } from "node:fs/promises";
import { join } from "node:path";

const SCHEMAS = join(import.meta.dirname, "../../schemas");
const BANNER = "Made from schemas/book/ranges.json by deploy/javascript/ranges.mjs; not edited by hand.";

const read = async (name) => JSON.parse(await readFile(join(SCHEMAS, name), "utf8"));
const quoted = JSON.stringify;

/**
 * @typedef {{id: string, unit: string, least?: number, above?: number, most: number, called?: string}} BookRange
 * @returns {Promise<{inputs: BookRange[], ranges: BookRange[], readings: Record<string, string>, fields: object}>}
 *   inputs: those of readings; ranges: all
 */
export async function rangesOfBook() {
  const [table, { entries, readings, fields }] = [await read("facts/inputs.json"), await read("book/ranges.json")];
  const inputs = table.entries.map(({ low, high, ...own }) => ({ ...own, least: low, most: high }));
  return { inputs, ranges: [...inputs, ...entries], readings, fields };
}

/** A shape of the book with the numbers of each range that it names, in figures and in its description. */
export function inNumbers(shape, ranges) {
  if (Array.isArray(shape)) return shape.map((each) => inNumbers(each, ranges));
  if (!shape || typeof shape !== "object") return shape;
  const range = ranges.find(({ id }) => id === shape.range);
  const members = Object.entries(shape).flatMap(([name, value]) => {
    if (name === "range" && range) return Object.entries(boundsOf(range));
    if (name === "description" && range) return [[name, value.replace("{range}", inWords(range))]];
    return [[name, inNumbers(value, ranges)]];
  });
  return Object.fromEntries(members);
}

const boundsOf = ({ above, least, most }) =>
  above === undefined ? { minimum: least, maximum: most } : { exclusiveMinimum: above, maximum: most };

const inWords = ({ above, least, most, called }) =>
  `${above === undefined ? `${least} to` : `above ${above} and up to`} ${most} ${called}`;

/** @returns {Promise<string>} fieldlog/model/spans.py */
export async function rangesForPython() {
  const { inputs, ranges, readings, fields } = await rangesOfBook();
  const span = ({ id, unit, least, most, above }) => {
    const isAbove = above === undefined ? "" : ", is_above=True";
    return `    ${quoted(id)}: Span(${quoted(unit)}, ${above ?? least}, ${most}${isAbove}),`;
  };
  const typed = ([name, { of, least, what }]) => `    "${name}": ("${of}", ${least ?? "None"}, ${quoted(what)}),`;
  return [
    `"""${BANNER}"""`,
    "",
    "from typing import Final",
    "",
    "from fieldlog.model.span import Span",
    "",
    "SPANS: Final = {",
    ...ranges.map(span),
    "}",
    '"""By id, what a number may be."""',
    "READINGS: Final = {",
    ...inputs.map(({ id }) => `    "${id}": "${id}",`),
    ...Object.entries(readings).map(([member, id]) => `    "${member}": "${id}",`),
    "}",
    '"""By member of a check that holds measured values, the range of each."""',
    "TYPED: Final = {",
    ...[["volts", fields.VOLTS], ...Object.entries(fields.CHECK)].map(typed),
    "}",
    '"""By field of a check, its range, the least where that is another, and what is typed there."""',
    "",
  ].join("\n");
}

/** What a page takes in a field: its range, but for what the field says otherwise. */
function asTyped({ of, ...own }, ranges) {
  const range = ranges.find(({ id }) => id === of);
  const { unit, least, most, what, example } = {
    ...range,
    ...(range && { least: range.above ?? range.least }),
    ...own,
  };
  return { unit, least, most, what, example };
}

/** @param {string[]} groups of fields @returns {Promise<string>} a script that exports each */
export async function rangesForPages(...groups) {
  const { ranges, fields } = await rangesOfBook();
  const parts = groups.map((group) => {
    const typed = Object.entries(fields[group]).map(([name, field]) => [name, asTyped(field, ranges)]);
    const value = quoted(Object.fromEntries(typed));
    return `/** @type {Record<string, Range>} by name of a field */\nexport const ${group} = ${value};\n`;
  });
  return `// ${BANNER}\n\n/** @import { Range } from "../lib/ranges.js" */\n\n${parts.join("\n")}`;
}

/** @returns {Promise<string>} static/js/lib/ranges.js */
export async function unitsForPages() {
  const { inputs, ranges, readings, fields } = await rangesOfBook();
  const unitOf = (of) => ranges.find(({ id }) => id === of).unit;
  const members = [...inputs.map(({ id }) => [id, id]), ...Object.entries(readings)];
  const units = Object.fromEntries(members.map(([member, of]) => [member, unitOf(of)]));
  return [
    `// ${BANNER}`,
    "/** @typedef {{unit: string, least: number, most: number, what: string, example?: string}} Range of a field */",
    ...["VOLTS", "OHMS"].map(
      (name) => `/** @type {Range} */\nexport const ${name} = ${quoted(asTyped(fields[name], ranges))};`,
    ),
    "/** @type {Record<string, string>} where a check holds measured values, and the unit of each */\n" +
      `export const UNITS = ${quoted(units)};\n`,
  ].join("\n\n");
}
