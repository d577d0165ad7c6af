// Answers what of a rig is due, and which steps of its round, one rig's records with a day a line, as canonical JSON.
//   node tests/js/due.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { dueOf } from "../../static/js/rig/due.js";
import { mapOf } from "../../static/js/rig/map-of.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";
import { stepsOf } from "../../static/js/round/steps.js";

const table = (name) =>
  JSON.parse(readFileSync(new URL(`../../schemas/facts/${name}.json`, import.meta.url), "utf8")).entries;
const RULES = table("due");
const INCIDENTS = table("incidents");

function answer({ records, today }) {
  const [rig] = rigsOf(records.map((record, at) => ({ id: record.id, seq: at + 1, record })));
  const items = dueOf(rig, RULES, today, INCIDENTS);
  const steps = stepsOf(rig, mapOf(rig).map, items).filter(({ isDue }) => isDue);
  return {
    due: items.map(({ thing, rule, next, standing }) => [thing.what, thing.subject, rule, next, standing]),
    steps: steps.map(({ key }) => key).sort(),
  };
}

const lines = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "");
process.stdout.write(lines.map((line) => `${canonical(answer(JSON.parse(line)))}\n`).join(""));
