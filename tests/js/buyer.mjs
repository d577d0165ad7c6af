// Answers what a buyer asks, a log a line; the first line holds the table.
//   node tests/js/buyer.mjs < lines
import { readFileSync } from "node:fs";

import { askedLines } from "../../static/js/verify/buyer.js";

const [table, ...logs] = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "")
  .map((line) => JSON.parse(line));

for (const { records, hidden } of logs) console.log(JSON.stringify(askedLines(records, table, hidden)));
