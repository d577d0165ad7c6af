// Answers one series a line as canonical JSON.
//   node tests/js/trend.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { trend } from "../../static/js/engine/trend.js";

const series = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "")
  .map((line) => JSON.parse(line));
process.stdout.write(series.map((value) => `${canonical(trend(value))}\n`).join(""));
