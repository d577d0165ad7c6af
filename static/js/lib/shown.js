// Made from schemas/facts/shown.json by deploy/javascript/shown.mjs; not edited by hand.

export const SHOWN_FROM = 0.01;
export const STANDS_FROM = 0.01;
export const SETTLES_FROM = 85;
export const WEAKEST_SUPPLY = 0.88;
export const WEAKEST_SUPPLY_SAYS =
  "That is no weak supply: nothing feeds it, it is wired wrong, or a tip did not touch.";
export const HOW_SURE = /** @type {[number, string][]} */ ([
  [0.99, "almost certain"],
  [0.9, "very likely"],
  [0.66, "likely"],
  [0.33, "about as likely as not"],
  [0.1, "less likely"],
  [0, "unlikely, not impossible"],
]);
