// Says the same as a schema in the words that can be made into types: what json-schema-to-typescript does not read
// itself.

/**
 * Gives a schema whose conditions are choices, and whose maps by enumerated names are objects. Only what has a name is
 * explained: the rest says the schema.
 * @param {object} schema a JSON Schema, or an OpenAPI document of which the components count
 * @param {string} title what the whole is called
 */
export function described(schema, title) {
  const whole = withChoices(schema.components ? ofComponents(schema.components.schemas) : schema);
  const $defs = Object.entries(whole.$defs).map(([name, each]) => [
    name,
    { ...within(each, whole.$defs), description: each.description },
  ]);
  return { ...within({ ...whole, $defs: {} }, whole.$defs), title, $defs: Object.fromEntries($defs) };
}

/** The answers of an interface; the shape of a record is made elsewhere. */
function ofComponents(schemas) {
  const text = JSON.stringify(schemas)
    .replaceAll('"#/components/schemas/Record"', '"#/components/schemas/LogRecord"')
    .replaceAll("#/components/schemas/", "#/$defs/");
  const answers = ["Receipts", "Page", "News", "Missing", "Session", "PhotoReceipt", "PhotoPart", "Health", "Problems"];
  return {
    oneOf: answers.map((name) => ({ $ref: `#/$defs/${name}` })),
    $defs: { LogRecord: { tsType: 'import("./record.d.ts").LogRecord' }, ...JSON.parse(text) },
  };
}

/** A whole that says per kind what its members are becomes a choice of kinds, each with its own definition. */
function withChoices(schema) {
  if (!schema.allOf) return schema;
  const { allOf, properties, required, $defs } = schema;
  const kinds = allOf.map(({ if: { properties: by }, then }) => {
    const members = { ...properties, ...by, ...then.properties };
    return [`record-${by.kind.const}`, { type: "object", properties: members, required, additionalProperties: false }];
  });
  return {
    oneOf: kinds.map(([name]) => ({ $ref: `#/$defs/${name}` })),
    $defs: { ...Object.fromEntries(kinds), ...$defs },
  };
}

/** The same all the way down. */
function within(node, $defs) {
  if (Array.isArray(node)) return node.map((each) => within(each, $defs));
  if (node === null || typeof node !== "object") return node;
  const { description: _, ...simple } = ofAnyLength(byName(branched(node), $defs));
  return Object.fromEntries(Object.entries(simple).map(([key, value]) => [key, within(value, $defs)]));
}

/** A condition on one member of an enumeration becomes a choice of two. */
function branched(node) {
  if (!node.if?.properties || !node.else) return node;
  const [[member, { const: chosen }]] = Object.entries(node.if.properties);
  const others = node.properties[member].enum.filter((each) => each !== chosen);
  const branch = ({ properties, required }, values) => ({
    type: "object",
    properties: { ...properties, [member]: { enum: values } },
    required,
    additionalProperties: false,
  });
  const isNothing = Array.isArray(node.type) && node.type.includes("null");
  const branches = [branch(node.then, [chosen]), branch(node.else, others)];
  return { oneOf: isNothing ? [...branches, { type: "null" }] : branches };
}

/** A map whose names are enumerated becomes an object of these names. */
function byName(node, $defs) {
  const names = $defs[node.propertyNames?.$ref?.split("/").at(-1)]?.enum ?? node.propertyNames?.enum;
  if (!names) return node;
  const { propertyNames: _, additionalProperties, minProperties: __, ...rest } = node;
  return {
    ...rest,
    properties: Object.fromEntries(names.map((name) => [name, additionalProperties])),
    additionalProperties: false,
  };
}

/**
 * How long a list may be, and which members must not all be missing, says nothing of a shape, but where each place has
 * its own.
 */
function ofAnyLength(node) {
  const { minItems: _, maxItems: __, prefixItems, ...others } = node;
  const { anyOf, ...rest } = others;
  const isAboutMissing = anyOf?.every((each) => Object.keys(each).join() === "required");
  if (anyOf && !isAboutMissing) rest.anyOf = anyOf;
  if (!prefixItems) return rest;
  return { ...rest, items: prefixItems, minItems: prefixItems.length, maxItems: prefixItems.length };
}
