// What a body of each kind holds, as types of Python from the schema of records, under the names that
// schemas/shapes/record.d.ts has. kinds.mjs writes them.

const MOST = 110;
const WORDS_OF_PYTHON = new Set(["from", "class", "import", "in", "is", "not", "with"]);
const BANNER = '"""Made from schemas/book by deploy/javascript/kinds.mjs; not edited by hand."""';
const IMPORTED = {
  "collections.abc": ["Mapping", "Sequence"],
  typing: ["Final", "Literal", "NotRequired", "TypedDict"],
};

/** @returns {string} fieldlog/model/shapes.py: what bodies of several kinds hold */
export function textOfShapes({ $defs: defs }) {
  const aliases = Object.entries(defs).flatMap(([name, each]) => (each.enum ? [aliasOf(typeName(name), each)] : []));
  const text = `${aliases.join("")}\n\n${classesOfAll(defs, (name) => !isBody(name))}`;
  return `${BANNER}\n\n${imports(text, IMPORTED)}\n${text}`;
}

/** @returns {string} fieldlog/model/bodies.py: the body of each kind, and its name */
export function textOfTypes({ $defs: defs }) {
  const names = Object.keys(defs)
    .filter(isBody)
    .map((name) => {
      const kind = name.slice("body-".length);
      return `${kind.replaceAll("-", "_").toUpperCase()}: Final[KindOf[${typeName(name)}]] = KindOf("${kind}")\n`;
    });
  const text = `${classesOfAll(defs, isBody)}\n\n${names.join("")}`;
  const shared = Object.keys(defs).filter((name) => !isBody(name));
  const ours = { "fieldlog.model.kind_of": ["KindOf"], "fieldlog.model.shapes": shared.map(typeName).sort() };
  return `${BANNER}\n\n${imports(text, IMPORTED)}\n${imports(text, ours)}\n\n${text}`;
}

const isBody = (name) => name.startsWith("body-");

const classesOfAll = (defs, isWanted) =>
  Object.entries(defs)
    .filter(([name, { properties }]) => properties && isWanted(name))
    .flatMap(([name, schema]) => classesOf(typeName(name), schema, defs))
    .join("\n\n");

/** The lines that import what a text names. */
const imports = (text, known) =>
  Object.entries(known)
    .map(([module, all]) => [module, all.filter((name) => new RegExp(`\\b${name}\\b`).test(text))])
    .map(([module, used]) => (used.length ? `from ${module} import ${used.join(", ")}\n` : ""))
    .join("");

const typeName = (name) => name.replace(/(?:^|[-_])(\w)/g, (_, letter) => letter.toUpperCase());

/** What several members choose from has a name. */
function aliasOf(name, { enum: choices }) {
  const all = choices.map((each) => JSON.stringify(each));
  return `${inLines(`${name} = `, { text: `Literal[${all.join(", ")}]`, choices: all }, "", "")}\n`;
}

/** The class of an object, after those of the objects in it. */
function classesOf(name, schema, defs) {
  const inner = [];
  const { members, needed } = membersOf(schema);
  const lines = Object.entries(members).map(([member, each]) => {
    const type = typeOf(each, `${name}${typeName(member)}`, defs, inner);
    return [member, needed.has(member) ? type : { ...type, before: "NotRequired[", after: "]" }];
  });
  return [
    ...inner,
    lines.some(([member]) => WORDS_OF_PYTHON.has(member)) ? called(name, lines) : written(name, schema, lines),
  ];
}

function written(name, { description }, lines) {
  const told = description ? `${description[0].toUpperCase()}${description.slice(1)}` : "What it holds";
  const body = lines.map(([member, type]) => `    ${inLines(`${member}: `, type, "    ", "")}\n`);
  return `class ${name}(TypedDict):\n    """${told}."""\n\n${body.join("")}`;
}

/** A member that is a word of Python lets only this be written. */
function called(name, lines) {
  const body = lines.map(([member, type]) => `        ${inLines(`"${member}": `, type, "        ", ",")}\n`);
  return `${name} = TypedDict(\n    "${name}",\n    {\n${body.join("")}    },\n)\n`;
}

/** Over several lines where one is too long. */
function inLines(head, { text, choices, rest = "", before = "", after = "" }, indent, end) {
  const one = `${head}${before}${text}${rest}${after}${end}`;
  if (indent.length + one.length <= MOST) return one;
  const each = choices.map((choice) => `${indent}    ${choice},\n`).join("");
  return `${head}${before}Literal[\n${each}${indent}]${rest}${after}${end}`;
}

/** What one branch of a choice has, and the other not, may be absent. */
function membersOf({ properties = {}, required = [], then: one, else: other }) {
  const branches = [one, other].filter(Boolean);
  const members = Object.assign({}, ...branches.map((branch) => branch.properties), properties);
  for (const branch of branches)
    for (const [name, schema] of Object.entries(branch.properties)) if (schema !== true) members[name] ??= schema;
  const always = branches.length ? one.required.filter((name) => other.required.includes(name)) : [];
  return { members, needed: new Set([...required, ...always]) };
}

function typeOf(node, name, defs, inner) {
  if (node.oneOf)
    return orNone(
      typeOf(
        node.oneOf.find((each) => each.type !== "null"),
        name,
        defs,
        inner,
      ),
    );
  if (node.$ref) {
    const at = node.$ref.slice("#/$defs/".length);
    return defs[at].properties || defs[at].enum ? { text: typeName(at) } : typeOf(defs[at], name, defs, inner);
  }
  if (node.enum) {
    const choices = node.enum.filter((each) => each !== null).map((each) => JSON.stringify(each));
    const type = { text: `Literal[${choices.join(", ")}]`, choices };
    return node.enum.includes(null) ? orNone(type) : type;
  }
  const types = [node.type].flat();
  const type = plain(
    types.find((each) => each !== "null"),
    node,
    name,
    defs,
    inner,
  );
  return types.includes("null") ? orNone(type) : type;
}

const PLAIN = { string: "str", boolean: "bool", integer: "int", number: "float" };

function plain(type, node, name, defs, inner) {
  if (PLAIN[type]) return { text: PLAIN[type] };
  if (type === "array") return { text: `Sequence[${itemOf(node.items, name, defs, inner)}]` };
  if (typeof node.additionalProperties === "object")
    return { text: `Mapping[str, ${itemOf(node.additionalProperties, name, defs, inner)}]` };
  if (!node.required?.length && !node.then) {
    const [of] = Object.values(node.properties);
    return { text: `Mapping[str, ${itemOf(of, name, defs, inner)}]` };
  }
  inner.push(...classesOf(name, node, defs));
  return { text: name };
}

/** Of a choice in a list the text is enough: nobody asks for each. */
function itemOf(node, name, defs, inner) {
  const { text, choices } = typeOf(node, name, defs, inner);
  return choices && text.length > 30 ? "str" : text;
}

const orNone = (type) => ({ ...type, rest: " | None" });
