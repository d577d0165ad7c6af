// Answers cases of batteries or of cords, one a line, as canonical JSON; the first line holds the tables.
//   node tests/js/battery-and-cords.mjs < lines
import { readFileSync } from "node:fs";

import { canonical } from "../../static/js/engine/canonical.js";
import { charge } from "../../static/js/engine/charge.js";
import { cordReach } from "../../static/js/engine/cords.js";
import { otherHot } from "../../static/js/engine/plan.js";
import { loadOf } from "../../static/js/engine/plan-circuit.js";

const [tables, ...cases] = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "")
  .map((line) => JSON.parse(line));
function answer(one) {
  if (one.battery) return charge(one.battery, one.runs);
  const loads = one.loads.map((load) => loadOf(load, tables));
  const other = one.legs ? otherHot(one.volts, one.legs, tables) : null;
  return cordReach(loads, { ...one, other }, tables);
}
process.stdout.write(cases.map((one) => `${canonical(answer(one))}\n`).join(""));
