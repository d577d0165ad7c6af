// Answers one plan a line as canonical JSON; the first line holds the tables.
//   node tests/js/plan.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { plan } from "../../static/js/engine/plan.js";

const [tables, ...plans] = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "")
  .map((line) => JSON.parse(line));
process.stdout.write(plans.map((value) => `${canonical(plan(value, tables))}\n`).join(""));
