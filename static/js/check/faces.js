// The faces of the outlets as a person sees them, drawn from where their contacts lie; not to scale.
//
// Source: ANSI/NEMA WD 6 for which contacts there are, and common practice (a trade magazine, a wiring guide and a
// description from behind agree on the TT-30). Facing it with the ground hole down, hot is right and neutral left; a
// pedestal has the TT-30 with the ground hole up. Of the 14-50 the neutral lies opposite the ground; which of the two
// hots is called X makes no difference.
import { html } from "../lib/html.js";

/** @typedef {"h"|"x"|"y"|"n"|"g"} Role */
/** @typedef {readonly [number, number]} Point right and down from the middle of a face that reaches from -100 to 100 */

/**
 * @typedef {object} Contact
 * @property {Role} role
 * @property {Point} at
 * @property {Point} letter where it is named
 * @property {string} hole its outline around that point
 * @property {number} [lean] degrees clockwise
 */

/**
 * @typedef {object} Face with the ground hole down
 * @property {string} outline
 * @property {number} turns quarter turns clockwise to how it is mostly mounted
 * @property {Contact[]} contacts
 */

const SHORT = "M-6 -19h12v38h-12z";
const LONG = "M-6 -24h12v48h-12z";
const SLANTED = "M-6 -27h12v54h-12z";
const TEE = "M-6 -24h12v48h-12v-18h-18v-12h18z";
const GROUND = "M-15 -7a15 15 0 0 1 30 0v18h-30z";
const ROUND = "M-16 0a16 16 0 0 1 32 0a16 16 0 0 1 -32 0z";
const SQUARE = "M-94 -68a26 26 0 0 1 26 -26h136a26 26 0 0 1 26 26v136a26 26 0 0 1 -26 26h-136a26 26 0 0 1 -26 -26z";
const CIRCLE = "M-97 0a97 97 0 0 1 194 0a97 97 0 0 1 -194 0z";

/** @param {string} neutral its hole @param {Point} letter @returns {Contact[]} */
const household = (neutral, letter) => [
  { role: "n", at: [-34, -22], letter, hole: neutral },
  { role: "h", at: [34, -22], letter: [66, -22], hole: SHORT },
  { role: "g", at: [0, 36], letter: [0, 72], hole: GROUND },
];

/** @type {Record<string, Face>} */
export const FACES = {
  "5-15": { outline: SQUARE, turns: 0, contacts: household(LONG, [-66, -22]) },
  "5-20": { outline: SQUARE, turns: 0, contacts: household(TEE, [-66, -52]) },
  "TT-30": {
    outline: CIRCLE,
    turns: 2,
    contacts: [
      { role: "n", at: [-34, -18], letter: [-69, -18], hole: SLANTED, lean: 30 },
      { role: "h", at: [34, -18], letter: [69, -18], hole: SLANTED, lean: -30 },
      { role: "g", at: [0, 36], letter: [0, 73], hole: ROUND },
    ],
  },
  "14-50": {
    outline: CIRCLE,
    turns: 2,
    contacts: [
      { role: "x", at: [-40, 0], letter: [-72, 0], hole: SLANTED },
      { role: "y", at: [40, 0], letter: [72, 0], hole: SLANTED },
      { role: "n", at: [0, -36], letter: [0, -75], hole: SHORT },
      { role: "g", at: [0, 40], letter: [0, 75], hole: ROUND },
    ],
  },
};

/** @type {Record<string, string>} */
const NAMES = { h: "hot", x: "leg X", y: "leg Y", n: "neutral", g: "ground" };
const GROUND_LIES = ["down", "left", "up", "right"];
const NEAR_THE_MIDDLE = 15;

/** @param {Point} point @param {number} turns @returns {Point} where it lies after so many quarter turns clockwise */
const turned = ([x, y], turns) => (turns > 0 ? turned([-y, x], turns - 1) : [x, y]);

/**
 * @param {string} outlet
 * @param {string} role
 * @param {number} turns
 * @returns {string} where a contact lies for who faces the outlet: "lower left"; empty where there is none
 */
export function placeOf(outlet, role, turns) {
  const contact = FACES[outlet]?.contacts.find((one) => one.role === role);
  if (!contact) return "";
  const [x, y] = turned(contact.at, turns);
  const across = Math.abs(x) < NEAR_THE_MIDDLE ? "" : x < 0 ? "left" : "right";
  if (!across) return y < 0 ? "top" : "bottom";
  return Math.abs(y) < NEAR_THE_MIDDLE ? across : `${y < 0 ? "upper" : "lower"} ${across}`;
}

/** @param {number} turns @returns {string} how the picture has to be held against the outlet */
export const facingText = (turns) => `Facing the outlet, ground hole ${GROUND_LIES[turns % 4]}.`;

/**
 * @param {string} outlet
 * @param {string} pair
 * @param {number} turns
 * @returns {string[]} where the tips go, one sentence a tip
 */
export function tipsText(outlet, pair, turns) {
  const [one = "", other = ""] = pair.split("-");
  return [`One tip in ${holeText(outlet, one, turns)}.`, `The other ${inHole(outlet, other, turns)}.`];
}

/** @param {string} outlet @param {string} role @param {number} turns */
const holeText = (outlet, role, turns) => `${role.toUpperCase()}, ${NAMES[role]}: ${placeOf(outlet, role, turns)}`;

/** @param {string} outlet @param {string} role @param {number} turns */
const inHole = (outlet, role, turns) => (role === "e" ? "on the earth outside" : `in ${holeText(outlet, role, turns)}`);

/**
 * Draws a face; what is marked is filled, ringed and joined by a line, whatever its colour.
 * @param {string} outlet
 * @param {{turns?: number, pair?: string, isNamed?: boolean}} [how] the pair that is marked; whether contacts have
 *   their letters
 */
export function faceMarkup(outlet, { turns = FACES[outlet]?.turns ?? 0, pair = "", isNamed = true } = {}) {
  const face = FACES[outlet];
  if (!face) return html``;
  const marked = pair.split("-");
  const ends = face.contacts.filter(({ role }) => marked.includes(role)).map(({ at }) => turned(at, turns).join(" "));
  const join = ends.length > 1 ? html`<path class="face__join" d="M${ends.join("L")}"/>` : "";
  const contacts = face.contacts.map((contact) =>
    contactMarkup(contact, { turns, isNamed, isOn: marked.includes(contact.role) }),
  );
  return html`<svg class="face" viewBox="-100 -100 200 200" aria-hidden="true"><path class="face__outline"
    d="${face.outline}"/>${join}${contacts}</svg>`;
}

/** @param {Contact} contact @param {{turns: number, isNamed: boolean, isOn: boolean}} how */
function contactMarkup({ role, at, letter, hole, lean = 0 }, { turns, isNamed, isOn }) {
  const [x, y] = turned(at, turns);
  const [left, top] = turned(letter, turns);
  const on = isOn ? " face__contact--on" : "";
  const named = html`<circle class="face__badge" cx="${left}" cy="${top}" r="19"/><text class="face__letter"
    x="${left}" y="${top + 10}">${role.toUpperCase()}</text>`;
  return html`<g class="face__contact${on}" data-contact="${role}"><path class="face__hole" d="${hole}"
    transform="translate(${x} ${y}) rotate(${lean + 90 * turns})"/>${isNamed ? named : ""}</g>`;
}
