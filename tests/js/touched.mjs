// Answers what a change touches, one map with its changed parts a line, as canonical JSON.
//   node tests/js/touched.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { touchedBy } from "../../static/js/engine/touched.js";

const answer = ({ map, parts, pairs, earlier }) => touchedBy(map, parts, ({ id }) => pairs[id] ?? [], earlier);
const lines = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "");
process.stdout.write(lines.map((line) => `${canonical(answer(JSON.parse(line)))}\n`).join(""));
