// What it takes to judge an outlet and to show the verdict. It comes after the first screen, brought by engine.js.
export { assess } from "../engine/assess.js";
export { skinLevel } from "../engine/skin.js";
export { findingsMarkup } from "./findings.js";
export { offerOf } from "./offer.js";
export { bannerMarkup, reasonsMarkup, spokenVerdict } from "./verdict.js";
