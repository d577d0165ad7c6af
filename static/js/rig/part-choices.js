// Made from schemas/facts/kinds.json and the book by deploy/javascript/part-kinds.mjs; not edited by hand.

export const PLACES = { outside: "outside", "near-water": "near water" };
export const LEGS = { x: "leg X", y: "leg Y", both: "both legs" };
export const CORDS = { listed: "listed cord set", "field-made": "field-made cord set" };
