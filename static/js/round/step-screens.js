// What the round brings once a step is opened.
export { allGood } from "./answers.js";
export { askedAt } from "./asked.js";
export { found } from "./findings.js";
export { screen } from "./screens.js";
