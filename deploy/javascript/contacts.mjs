// What follows from schemas/book/contacts.json and the outlets in schemas/facts/outlets.json: which contacts an outlet
// has and what is read between them, for both languages. kinds.mjs writes it.
import { readFile } from "node:fs/promises";
import { join } from "node:path";

const SCHEMAS = join(import.meta.dirname, "../../schemas");
const FROM = "schemas/book/contacts.json";
const BANNER = `Made from ${FROM} by deploy/javascript/contacts.mjs; not edited by hand.`;
const LISTS = ["contacts", "usual", "to_earth", "loaded", "acrosses", "detector_places"];
/** What the scripts ask: the rest is asked of the server's rules alone. */
const ON_THE_PHONE = ["usual", "to_earth", "loaded", "acrosses"];

const read = async (name) => JSON.parse(await readFile(join(SCHEMAS, name), "utf8"));

/** @returns {Promise<{families: object[], outlets: object[], names: Record<string, string>, pairs: string[]}>} */
export async function contactsOfBook() {
  const [{ entries: families, names }, { entries: outlets }] = [
    await read("book/contacts.json"),
    await read("facts/outlets.json"),
  ];
  const pairs = [...new Set(families.flatMap(({ usual, to_earth }) => [...usual, ...to_earth]))];
  return { families, outlets, names, pairs };
}

/** @returns {Promise<string>} fieldlog/model/outlets.py */
export async function textForPython() {
  const { families, outlets, names } = await contactsOfBook();
  return [
    `"""${BANNER}"""`,
    "",
    "from typing import Final",
    "",
    ...dictionary("NAMES", Object.entries(names)),
    '"""What each contact is called."""',
    "FAMILIES: Final = {",
    ...families.flatMap((family) => [
      `    "${family.id}": {`,
      ...LISTS.map((list) => `        "${list}": ${tuple(family[list])},`),
      "    },",
    ]),
    "}",
    '"""By family of outlets, the contacts and the pairs of them."""',
    ...dictionary(
      "FAMILY_OF",
      outlets.map(({ id, family }) => [id, family]),
    ),
    ...dictionary(
      "AMPS_OF",
      outlets.map(({ id, rating_amps }) => [id, rating_amps]),
    ),
    '"""Rating of an outlet by its configuration [A]; ANSI/NEMA WD 6."""',
    "",
  ].join("\n");
}

const dictionary = (name, entries) => [
  `${name}: Final = {`,
  ...entries.map(([key, value]) => `    "${key}": ${JSON.stringify(value)},`),
  "}",
];
const tuple = (names) => `(${names.map((name) => `"${name}"`).join(", ")}${names.length === 1 ? "," : ""})`;

/** @returns {Promise<string>} static/js/engine/contacts.js, not formatted */
export async function textForEngine() {
  const { families, outlets } = await contactsOfBook();
  const [three, split] = families.map((family) =>
    JSON.stringify(Object.fromEntries(ON_THE_PHONE.map((list) => [list, family[list]]))),
  );
  const amps = Object.fromEntries(outlets.map(({ id, rating_amps }) => [id, rating_amps]));
  const { id: four } = outlets.find(({ family }) => family === families[1].id);
  return `// ${BANNER}

/** What is read at an outlet with one hot contact. */
export const THREE_WIRE = ${three};
/** What is read at one with two. */
export const SPLIT_PHASE = ${split};
/** The outlet whose two hot contacts are fed by two legs. */
export const FOUR_CONTACTS = "${four}";
/** Rating of an outlet by its configuration [A]; ANSI/NEMA WD 6. */
export const OUTLET_AMPS = ${JSON.stringify(amps)};
`;
}

/** @returns {Promise<string>} static/js/lib/contacts.js, not formatted */
export async function textOfPairs() {
  const { names, pairs } = await contactsOfBook();
  const called = pairs.map((pair) => [
    pair,
    pair
      .split("-")
      .map((each) => names[each])
      .join("–"),
  ]);
  return `// ${BANNER}

/** @type {Record<string, string>} The trade's words for what is between two contacts. */
export const PAIRS = ${JSON.stringify(Object.fromEntries(called))};
`;
}
