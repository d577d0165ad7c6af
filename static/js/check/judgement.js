// What it takes to judge an outlet and to show the verdict. It comes after the first screen, brought by engine.js.
export { provesEarth } from "../engine/earth.js";
export { skinLevel } from "../engine/skin.js";
export { againMarkup, doubtOf } from "./again.js";
export { beforeMarkup, readOf } from "./before.js";
export { findingsMarkup } from "./findings.js";
export * from "./judging.js";
export { offerOf } from "./offer.js";
export { reasonOf } from "./reason.js";
export { shownMarkup } from "./shown.js";
export { bannerMarkup, reasonsMarkup, spokenVerdict } from "./verdict.js";
