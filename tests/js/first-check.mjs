// Opens a rulebook and judges the first check, as a page does; prints the milliseconds that it took.
//   node tests/js/first-check.mjs STATIC RULEBOOK
import { existsSync, readFileSync } from "node:fs";

const [scripts, book] = process.argv.slice(2);
const text = readFileSync(book, "utf8");
const check = { outlet: "TT-30", volts: { "h-n": 121.3, "h-g": 121.0, "n-g": 0.4 }, look: [] };
const { assess } = await import(`${scripts}/js/engine/assess.js`);
const quick = `${scripts}/js/check/quick-hash.js`;
const { readRulebook } = await import(`${scripts}/js/engine/rulebook.js`);
const quickHash = existsSync(quick) ? (await import(quick)).quickHash : null;
const began = performance.now();
const { verdict } = assess(check, quickHash ? await readRulebook(text, quickHash) : JSON.parse(text));
const took = performance.now() - began;
if (verdict !== "use") throw new Error(`It judged ${verdict}.`);
console.log(took);
