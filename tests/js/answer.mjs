// Answers one JSON value a line with the browser's engine, as canonical JSON.
//   node tests/js/answer.mjs assess|canonical < lines

import { readFileSync } from "node:fs";
import { assess } from "../../static/js/engine/assess.js";
import { canonical } from "../../static/js/engine/canonical.js";

const rulebook = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));

function judged(value) {
  try {
    return assess(value, rulebook);
  } catch (error) {
    if (!error.problems) throw error;
    return { problems: error.problems };
  }
}

const answer = { assess: judged, canonical: (value) => value }[process.argv[2]];
const lines = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "");
process.stdout.write(lines.map((line) => `${canonical(answer(JSON.parse(line)))}\n`).join(""));
