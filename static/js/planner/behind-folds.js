// What comes after the first screen of a plan, in one file.
export { offerEvening } from "./evening.js";
export { Keeping } from "./keeping.js";
export { batteryMarkup, cordsMarkup, rechargeMarkup } from "./more.js";
