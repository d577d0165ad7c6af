// A small drawing of what is joined to what at an outlet, and the same in words; fieldlog/web/layout/drawing.py makes
// the same. Contacts stand in a column, by role and not by place. A variant is one of a wiring in the rulebook.
import { html } from "../lib/html.js";

/** @import { Variant, Words } from "../../../schemas/shapes/rulebook.d.ts" */
/** @typedef {"H"|"X"|"N"|"G"} Letter of a conductor */
/** @typedef {"h"|"x"|"y"|"n"|"g"} Contact */
/** @typedef {Record<Letter|Contact, number>} Rows what an outlet has no contact for is not looked up */

/**
 * @typedef {object} DrawingParts
 * @property {Variant} variant
 * @property {Contact[]} contacts
 * @property {Words} words
 * @property {Rows} rows
 */

// Where things stand, in units of a view box of 320 by 200: first along a conductor, then down.
const [START, SERVICE, BOND, UPSTREAM, FORK, MEET] = [10, 52, 76, 90, 104, 138];
const [ZIGZAG, BREAK, STUB, FACE, EDGE, CONTACT, LABEL, PLUG, APPLIANCE] = [
  141, 149, 159, 172, 177, 188, 206, 276, 298,
];
const [GAP, RADIUS] = [9, 11];
/** @type {Record<"three-wire"|"split-phase", Partial<Rows>>} */
const ROWS = {
  "three-wire": { H: 52, X: 84, N: 116, G: 168, h: 52, n: 116, g: 168 },
  "split-phase": { H: 50, X: 90, N: 132, G: 174, x: 50, y: 90, n: 132, g: 174 },
};
/** @type {Record<string, string>} */
const OWN = { h: "H", x: "H", y: "X", n: "N", g: "G" };
/** @type {Record<Letter, string>} */
const KINDS = { H: "hot", X: "other", N: "neutral", G: "ground" };

/**
 * Draws the first variant of a wiring, with the words under it; they also say how the others differ.
 * @param {Variant[]} variants at least one
 * @param {string[]} contacts
 * @param {Words} words of the rulebook
 */
export function drawingFigure(variants, contacts, words) {
  const [first] = variants;
  const caption = html`<figcaption>${figureText(variants, contacts, words)}</figcaption>`;
  return html`<figure class="drawing-figure">${first ? drawingMarkup(first, contacts, words) : ""}${caption}</figure>`;
}

/**
 * @param {Variant[]} variants at least one
 * @param {string[]} contacts
 * @param {Words} words
 * @returns {string}
 */
export function figureText(variants, contacts, words) {
  const [first, ...others] = variants;
  if (!first) return "";
  const also = others.map((other) => words.drawing.also[difference(first, other)]);
  return [drawingText(first, contacts, words), ...new Set(also)].join(" ");
}

/**
 * Says what the drawing shows.
 * @param {Variant} variant
 * @param {string[]} contacts
 * @param {Words} words of the rulebook
 * @returns {string}
 */
export function drawingText(variant, contacts, words) {
  return [...joinsText(variant, contacts, words), ...partsText(variant, contacts, words)].join(" ");
}

/**
 * Draws what is joined to what.
 * @param {Variant} variant
 * @param {string[]} contacts
 * @param {Words} words of the rulebook
 */
export function drawingMarkup(variant, contacts, words) {
  const rows = /** @type {Rows} */ (ROWS[family(contacts)]);
  const of = { variant, contacts: /** @type {Contact[]} */ (contacts), words, rows };
  const parts = [heads, wires, source, ends, pluggedIn, contactsOf, labels].map((draw) => draw(of));
  const told = html`<title>${words.drawing.title}</title><desc>${drawingText(variant, contacts, words)}</desc>`;
  return html`<svg class="drawing" viewBox="0 0 320 200" role="img">${told}${parts}</svg>`;
}

/** @param {string[]} contacts */
const family = (contacts) => (contacts.includes("x") ? "split-phase" : "three-wire");

/** @param {Variant} first @param {Variant} other */
function difference(first, other) {
  if (other.lost_neutral !== first.lost_neutral) return "service";
  return other.joins.includes("D") ? "further-up" : "legs";
}

// Words

const FLAGS = /** @type {const} */ (["bonded", "load", "leak", "floating"]);

/**
 * The words for contacts and conductors, by their letters.
 * @typedef {{conductors: Record<"three-wire"|"split-phase", Record<string, string>>, contacts: Record<string, string>}}
 *   Names
 */

/** @param {Words} words */
const namesIn = ({ unnamed }) => /** @type {typeof unnamed & Names} */ (unnamed);

/** @param {Variant} variant @param {string[]} contacts @param {Words} words */
function joinsText({ joins }, contacts, words) {
  const said = namesIn(words);
  const conductors = said.conductors[family(contacts)];
  const odd = contacts
    .map((contact, i) => ({ contact, join: joins.charAt(i) }))
    .filter(({ contact, join }) => OWN[contact] !== join);
  const own = contacts.length - odd.length;
  const rest = own === contacts.length ? said.all_own : own === 1 ? said.one_own : said.rest_own;
  return [
    ...odd.map(({ contact, join }) =>
      filled(said.joined, { contact: said.contacts[contact], conductor: conductors[join] }),
    ),
    ...(own ? [rest] : []),
  ];
}

/** @param {Variant} variant @param {string[]} contacts @param {Words} words */
function partsText(variant, contacts, words) {
  const { parts } = words.drawing;
  const said = namesIn(words);
  const conductor = said.conductors[family(contacts)][variant.loose ?? ""];
  const contact = said.contacts[contacts[0] ?? ""];
  return [
    variant.loose && filled(parts.loose, { conductor }),
    ...FLAGS.map((flag) => variant[flag] && filled(parts[flag], { contact })),
    variant.energised === false && parts.dead,
    variant.lost_neutral && parts[variant.lost_neutral],
  ].filter((sentence) => typeof sentence === "string" && sentence !== "");
}

/** @param {string} sentence @param {Record<string, string|undefined>} words */
const filled = (sentence, words) => sentence.replace(/\{(\w+)\}/g, (_, name) => words[name] ?? "");

// Lines

/** @type {Letter[]} */
const LETTERS = ["H", "X", "N", "G"];
/** @type {Letter[]} */
const LEGS = ["H", "X"];

/** @param {DrawingParts} of */
function wires(of) {
  return shown(of).map((letter) => {
    const isDead = LEGS.includes(letter) && (isDeadLeg(letter, of) || of.variant.energised === false);
    const way = feed(letter, of) + routes(letter, of);
    return [
      path("drawing__halo", way),
      path(`drawing__wire drawing__wire--${KINDS[letter]}${isDead ? " drawing__wire--dead" : ""}`, way),
      letter === "X" ? path("drawing__core", way) : "",
    ];
  });
}

/**
 * The conductors; a three-wire outlet has another hot only where it is joined to a contact.
 * @param {DrawingParts} of
 * @returns {Letter[]}
 */
function shown({ variant, contacts }) {
  return LETTERS.filter((letter) => letter !== "X" || contacts.includes("y") || variant.joins.includes("X"));
}

/** @param {Letter} letter @param {DrawingParts} of */
const isDeadLeg = (letter, of) => joinOfOwn(letter, of) === "D";
/** @param {Letter} letter @param {DrawingParts} of */
const isOwnOpen = (letter, of) => joinOfOwn(letter, of) === "-";

/**
 * What the conductor's own contact is joined to; a three-wire outlet has no contact for another hot.
 * @param {Letter} letter
 * @param {DrawingParts} of
 */
function joinOfOwn(letter, { variant, contacts }) {
  return variant.joins[contacts.findIndex((contact) => OWN[contact] === letter)];
}

/** @param {Letter} letter @param {DrawingParts} of */
function feed(letter, of) {
  const row = of.rows[letter];
  const gaps = breaks(of).filter(([, by]) => by === letter);
  return `M${letter === "G" ? BOND : START} ${row}${gaps
    .map(([x]) => `H${x - GAP}M${x + GAP} ${row}`)
    .join("")}H${FORK}`;
}

/**
 * Each break before the outlet: how far along, and in which conductor.
 * @param {DrawingParts} of
 * @returns {[number, Letter][]}
 */
function breaks(of) {
  const lost = of.variant.lost_neutral;
  return [
    ...(lost ? [broken(lost === "service" ? SERVICE : UPSTREAM, "N")] : []),
    ...LEGS.filter((letter) => isDeadLeg(letter, of)).map((letter) => broken(UPSTREAM, letter)),
  ];
}

/** @param {number} x @param {Letter} letter @returns {[number, Letter]} */
const broken = (x, letter) => [x, letter];

/** @param {Letter} letter @param {DrawingParts} of */
function routes(letter, of) {
  const row = of.rows[letter];
  const joined = joinedTo(letter, of);
  if (!joined.length) return isOwnOpen(letter, of) ? `H${BREAK - GAP}` : "";
  if (letter === of.variant.loose) return `L${MEET} ${row}H${ZIGZAG}M${ZIGZAG + 28} ${row}H${EDGE}`;
  return joined.map((contact) => `L${MEET} ${of.rows[contact]}H${EDGE}`).join(`M${FORK} ${row}`);
}

/** @param {Letter} letter @param {DrawingParts} of */
function joinedTo(letter, { variant, contacts }) {
  return contacts.filter((contact, i) => letter === (variant.joins[i] === "D" ? OWN[contact] : variant.joins[i]));
}

// Marks

/** Where neutral and ground are joined at the source, or that they are not. @param {DrawingParts} of */
function source({ variant, rows: { N: neutral, G: ground } }) {
  const middle = (neutral + ground) / 2;
  const joint = variant.floating
    ? [
        path("drawing__bond", `M${BOND} ${neutral}V${middle - GAP}M${BOND} ${middle + GAP}V${ground}`),
        cross(BOND, middle),
      ]
    : path("drawing__bond", `M${BOND} ${neutral}V${ground}`);
  return [joint, dot(BOND, neutral)];
}

/** @param {DrawingParts} of */
function ends(of) {
  const { variant, contacts, rows } = of;
  const open = contacts.filter((_, i) => variant.joins[i] === "-");
  return [
    breaks(of).map(([x, letter]) => cross(x, rows[letter])),
    shown(of).map((letter) => endOf(letter, of)),
    open.map((contact) => [path("drawing__stub", `M${STUB} ${rows[contact]}H${EDGE}`), cross(BREAK, rows[contact])]),
    variant.loose ? path("drawing__loose", `M${ZIGZAG} ${rows[variant.loose]}l4 -9 7 18 6 -18 7 18 4 -9`) : "",
  ];
}

/** @param {Letter} letter @param {DrawingParts} of */
function endOf(letter, of) {
  const joined = joinedTo(letter, of);
  if (joined.length > 1) return dot(FORK, of.rows[letter]);
  return joined.length || isOwnOpen(letter, of) ? "" : path("drawing__end", `M${FORK} ${of.rows[letter] - 8}v16`);
}

/** @param {DrawingParts} of */
function pluggedIn({ variant, contacts, rows, words }) {
  const [first = "h"] = contacts;
  return PLUGGED.filter(({ flag }) => variant[flag]).map(({ flag, end }) => {
    const [top, bottom] = [rows[first], rows[end]];
    const middle = (top + bottom) / 2;
    return [
      path(
        "drawing__plugged",
        `M${PLUG} ${top}H${APPLIANCE}V${middle - 13}M${APPLIANCE} ${middle + 13}V${bottom}H${PLUG}`,
      ),
      path("drawing__appliance", `M${APPLIANCE - 20} ${middle - 13}h40v26h-40z`),
      text("drawing__middle", APPLIANCE, middle + 5, words.drawing[flag]),
    ];
  });
}

/** @type {{flag: "load"|"leak", end: Contact}[]} */
const PLUGGED = [
  { flag: "load", end: "n" },
  { flag: "leak", end: "g" },
];

/** @param {DrawingParts} of */
function contactsOf({ variant, contacts, rows, words }) {
  const pins = contacts.map((contact, i) => {
    const kind = variant.joins[i] === OWN[contact] ? "drawing__contact" : "drawing__contact drawing__contact--odd";
    return [
      html`<circle class="${kind}" cx="${CONTACT}" cy="${rows[contact]}" r="${RADIUS}"/>`,
      text("drawing__label", LABEL, rows[contact] + 5, namesIn(words).contacts[contact]),
    ];
  });
  return [variant.bonded ? path("drawing__bond", `M${CONTACT} ${rows.n}V${rows.g}`) : "", pins];
}

/** The conductors' names: above the line, and the ground's before it. @param {DrawingParts} of */
function labels(of) {
  const names = of.words.drawing.labels[family(of.contacts)];
  return shown(of).map((letter) =>
    text("drawing__label", START, of.rows[letter] + (letter === "G" ? 5 : -12), names[letter]),
  );
}

/** @param {DrawingParts} of */
function heads({ words }) {
  return [
    path("drawing__face", `M${FACE} 26h${PLUG - FACE}v168h-${PLUG - FACE}z`),
    text("drawing__head", START, 17, words.drawing.supply),
    text("drawing__head", FACE, 17, words.drawing.outlet),
  ];
}

/** @param {string} kind @param {string} way */
const path = (kind, way) => html`<path class="${kind}" d="${way}"/>`;
/** @param {number} x @param {number} y */
const cross = (x, y) => path("drawing__cross", `M${x - 6} ${y - 6}l12 12m0 -12l-12 12`);
/** @param {number} x @param {number} y */
const dot = (x, y) => html`<circle class="drawing__dot" cx="${x}" cy="${y}" r="4"/>`;
/** @param {string} kind @param {number} x @param {number} y @param {string|undefined} said */
const text = (kind, x, y, said) => html`<text class="${kind}" x="${x}" y="${y}">${said}</text>`;
