// Judges checks by damaged rulebooks, and prints a line for each: of every check the verdict, or "none" where none is
// given, by what was damaged, and of the first of them by its text, as a phone has it.
//   node tests/js/damaged.mjs < {"checks": [...], "damages": [{"path": [...], "to": value, "named": true}, ...]}
// A damage without "to" takes the member out; "named" gives the damaged rulebook the id of what it then holds.

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { quickHash } from "../../static/js/check/quick-hash.js";
import { assess, RulebookDamaged } from "../../static/js/engine/assess.js";
import { canonical } from "../../static/js/engine/canonical.js";
import { readRulebook } from "../../static/js/engine/rulebook.js";

const whole = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const { checks, damages } = JSON.parse(readFileSync(0, "utf8"));

function damaged(part, [step, ...rest], to) {
  const copy = Array.isArray(part) ? [...part] : { ...part };
  if (rest.length > 0) copy[step] = damaged(part[step], rest, to);
  else if (to === undefined) delete copy[step];
  else copy[step] = to;
  return copy;
}

function named(raw) {
  const { id: _, ...body } = raw;
  return { id: `sha256:${createHash("sha256").update(canonical(body)).digest("hex")}`, ...body };
}

function verdict(check, raw) {
  try {
    return assess(check, raw).verdict;
  } catch (error) {
    return error instanceof RulebookDamaged ? "none" : `none: ${error.name}`;
  }
}

for (const damage of damages) {
  const raw = damaged(whole, damage.path, damage.to);
  const book = damage.named ? named(raw) : raw;
  const read = await readRulebook(canonical(book), quickHash);
  console.log(JSON.stringify([...checks.map((check) => verdict(check, book)), verdict(checks[0], read)]));
}
