// Who may import whom under static/js, types in comments included: downwards only, and no circles.
// What stands in one row does not know its neighbours there.
const { readdirSync } = require("node:fs");
const { join } = require("node:path");

const BELOW = [["rig"], ["check"], ["offline"], ["sync"], ["outbox"], ["engine", "lib"]];
const ABOVE = [["pages", "main.js"], ["elements"]];
/** Every other folder is the room of a page or of several: a new one stands here by being there. */
const ROOMS = readdirSync(join(__dirname, "static/js"), { withFileTypes: true })
  .filter((entry) => entry.isDirectory() && ![...ABOVE, ...BELOW].flat().includes(entry.name))
  .map(({ name }) => name);
const LAYERS = [...ABOVE, ROOMS, ...BELOW];

// Shapes are made from the schemas, for comments.
const SHAPES = "^schemas/shapes/";

const within = (names) => `^static/js/(${names.join("|")})(/|$)`;

const downwards = LAYERS.flatMap((row, index) =>
  row.map((folder) => ({
    name: `${folder}-imports-downwards`,
    severity: "error",
    from: { path: within([folder]) },
    to: { pathNot: [SHAPES, within([folder, ...LAYERS.slice(index + 1).flat()])] },
  })),
);

module.exports = {
  forbidden: [
    ...downwards,
    {
      name: "every-folder-has-its-row",
      severity: "error",
      from: { path: "^static/js/", pathNot: within(LAYERS.flat()) },
      to: {},
    },
    { name: "no-circle-of-folders", severity: "error", scope: "folder", from: {}, to: { circular: true } },
    { name: "no-circle-of-modules", severity: "error", from: {}, to: { circular: true } },
  ],
  options: { detectJSDocImports: true, parser: "tsc", doNotFollow: { path: "node_modules" } },
};
