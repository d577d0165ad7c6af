// What a body of each kind has to be so that the pages can draw it, from the schema of records: names for text, number,
// flag, id and moment, orNull(…), [of each], { member, "member?": one that may be absent, "*": each }.

const ID = "#/$defs/id";
const MOMENT = /T\(/;

/** @returns {string} the text of a script that names the shape of each kind's body */
export function textOfBodies(schema) {
  const shared = new Map();
  const bodies = Object.entries(schema.$defs).filter(([name]) => name.startsWith("body-"));
  const lines = bodies.map(
    ([name, body]) => `  ${keyOf(name.slice("body-".length))}: ${shapeOf(body, schema.$defs, shared)},\n`,
  );
  const consts = [...shared].map(([name, text]) => `const ${name} = ${text};\n`);
  return `import { flag, id, moment, number, orNull, text } from "./shape.js";

${consts.join("")}
/**
 * The bodies by kind. A kind of a later version is kept; no list of this one draws it.
 * @type {Record<string, import("./shape.js").Shape>}
 */
export const BODIES = {
${lines.join("")}};
`;
}

function shapeOf(node, defs, shared) {
  const inner = (each) => shapeOf(each, defs, shared);
  if (node.$ref === ID) return "id";
  if (node.$ref === `${ID}-or-null`) return "orNull(id)";
  if (node.$ref) return named(node.$ref.slice("#/$defs/".length), defs, shared);
  if (node.oneOf) return `orNull(${inner(node.oneOf.find((each) => each.type !== "null"))})`;
  const types = node.enum ? node.enum.map((one) => (one === null ? "null" : typeof one)) : [node.type].flat();
  const [type] = types.filter((each) => each !== "null");
  const plain = PLAIN[type]?.(node) ?? (type === "array" ? `[${inner(node.items)}]` : ofMembers(node, inner));
  return types.includes("null") ? `orNull(${plain})` : plain;
}

const PLAIN = {
  string: ({ pattern }) => (MOMENT.test(pattern) ? "moment" : "text"),
  boolean: () => "flag",
  integer: () => "number",
  number: () => "number",
};

/** What several name is written once, where it is more than each. */
function named(name, defs, shared) {
  const text = shapeOf(defs[name], defs, shared);
  if (/^\w+$|^\[\w+\]$|^{ "\*"/.test(text)) return text;
  const called = name.replaceAll("-", "_").toUpperCase();
  shared.set(called, text);
  return called;
}

/** What one branch of a choice has, and the other not, may be absent; what may all be absent and is alike is "each". */
function ofMembers({ properties = {}, required = [], additionalProperties, then: one, else: other }, inner) {
  if (typeof additionalProperties === "object") return `{ "*": ${inner(additionalProperties)} }`;
  const branches = [one, other].filter(Boolean);
  const members = Object.assign({}, ...branches.map((branch) => branch.properties), properties);
  const always = branches.length ? one.required.filter((name) => other.required.includes(name)) : [];
  const needed = new Set([...required, ...always]);
  const of = ([name, schema]) => {
    const branch = branches.find((each) => typeof each.properties[name] === "object");
    const key = keyOf(needed.has(name) ? name : `${name}?`);
    return `${key}: ${inner(schema === true ? branch.properties[name] : schema)}`;
  };
  const alike = new Set(Object.values(members).map((schema) => schema !== true && inner(schema)));
  if (needed.size === 0 && alike.size === 1) return `{ "*": ${[...alike][0]} }`;
  return `{ ${Object.entries(members).map(of).join(", ")} }`;
}

const keyOf = (id) => (/^\w+$/.test(id) ? id : JSON.stringify(id));
