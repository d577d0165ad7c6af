// What it takes to judge an outlet, without what shows a verdict.
export { assess } from "../engine/assess.js";
export { readRulebook } from "../engine/rulebook.js";
export { quickHash } from "./quick-hash.js";
