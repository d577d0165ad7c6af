// Made from schemas/book/contacts.json by deploy/javascript/contacts.mjs; not edited by hand.

/** @type {Record<string, string>} The trade's words for what is between two contacts. */
export const PAIRS = {
  "h-n": "hot–neutral",
  "h-g": "hot–ground",
  "n-g": "neutral–ground",
  "h-e": "hot–earth",
  "n-e": "neutral–earth",
  "g-e": "ground–earth",
  "x-y": "leg X–leg Y",
  "x-n": "leg X–neutral",
  "y-n": "leg Y–neutral",
  "x-g": "leg X–ground",
  "y-g": "leg Y–ground",
  "x-e": "leg X–earth",
  "y-e": "leg Y–earth",
};
