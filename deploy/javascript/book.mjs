// Reads the kinds of record from schemas/book/kinds, a file a kind, and what every record has from schemas/book.
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { contactsOfBook } from "./contacts.mjs";
import { partKinds } from "./part-kinds.mjs";
import { inNumbers, rangesOfBook } from "./ranges.mjs";

const BOOK = join(import.meta.dirname, "../../schemas/book");
const LAST = 1000;

const read = async (...path) => JSON.parse(await readFile(join(BOOK, ...path), "utf8"));

/** @returns {Promise<object[]>} in the order in which they came; the first ones came together and are numbered */
export async function kindsOfBook() {
  const files = (await readdir(join(BOOK, "kinds"))).filter((name) => name.endsWith(".json"));
  const kinds = await Promise.all(files.map((name) => read("kinds", name)));
  const key = ({ order = LAST, valid_from, id }) => `${String(order).padStart(4, "0")} ${valid_from} ${id}`;
  return kinds.sort((one, other) => (key(one) < key(other) ? -1 : 1));
}

/** @returns {Promise<object>} the schema of a record of any kind */
export async function recordSchema() {
  const [core, kinds] = [await read("record.json"), await kindsOfBook()];
  const { outlets, pairs } = await contactsOfBook();
  const { ranges } = await rangesOfBook();
  const names = kinds.map(({ id }) => id);
  const kind = { enum: names, description: `one of the kinds ${names.join(", ")}` };
  const defs = kinds.flatMap(({ id, body, defs: own = {} }) => [
    ...Object.entries(own),
    [`body-${id}`, { ...body, description: `the body of a record of the kind ${id}` }],
  ]);
  core.$defs["outlet-type"].enum = outlets.map(({ id }) => id);
  core.$defs.pair.enum = pairs;
  const parts = (await partKinds()).map(({ id }) => id);
  const part = kinds.find(({ id }) => id === "rig-map").defs["rig-part"];
  part.properties.kind = { enum: parts, description: `one of ${parts.join(", ")}` };
  return {
    ...core,
    properties: { ...core.properties, kind },
    allOf: kinds.map(({ id, members }) => ({
      if: { properties: { kind: { const: id } }, required: ["kind"] },
      // biome-ignore lint/suspicious/noThenProperty: the schema's own word
      then: { properties: { ...members, body: { $ref: `#/$defs/body-${id}` } } },
    })),
    $defs: { ...core.$defs, ...inNumbers(Object.fromEntries(defs), ranges) },
  };
}

/** @returns {Promise<object[]>} the entries that name each place of a record, as /rig-rules.json hands them out */
export async function labelsOfBook() {
  const { entries } = JSON.parse(await readFile(join(BOOK, "../facts/labels.json"), "utf8"));
  const kinds = (await kindsOfBook()).filter(({ places }) => Object.keys(places).length);
  const own = kinds.map(({ id, source, valid_from, places }) => ({
    id,
    of: [id],
    unit: "1",
    source,
    valid_from,
    places,
  }));
  return [...entries, ...own];
}
