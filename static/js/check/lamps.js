// The lamps of a person's own tester: what they are called, in which order they are seen, and which of them is which.
//
// A tester without a leaflet is learnt from a right outlet: two lamps light, one stays dark. The dark one sits between
// neutral and ground; the two others hang on the hot contact, and which goes to neutral and which to ground shows only
// where a source floats. Until then they are told of together.
import { EntryProblem, textAt } from "./entries.js";
import { pairsOf } from "./pairs.js";
import { learntProblem } from "./problems.js";

/** @import { Values } from "./entries.js" */

const STATES = ["lit", "dim", "dark"];
const SEEN = ["1", "2", "3"];
const CALLED = ["first lamp", "second lamp", "third lamp"];
const ON_HOT = ["h-n", "h-g"];

/** What a phone remembers of a tester besides its lamps' names. */
export const LEARNT = ["lamp.way", "lamp.told", "lamp.apart", ...SEEN.map((at) => `lamp.learnt.${at}`)];

const UNLIKE =
  "Of the two lamps on the hot contact one does not light as the other does. No right wiring shows that. Which fault " +
  "it is this tester cannot say before its two lamps are told apart.";

/** @param {Values} values @param {string} set @returns {Record<string, string>|null} */
function lampsIn(values, set) {
  const seen = pairsOf(values.outlet).map((pair) => [pair, textAt(values, `${set}lamps.${pair}`)]);
  const known = seen.filter(([, lamp]) => STATES.includes(lamp ?? ""));
  return known.length ? Object.fromEntries(known) : null;
}

/** @param {Values} values @returns {boolean} whether its lamps were learnt and not named from a leaflet */
const isLearnt = (values) => values["lamp.way"] === "learn" && learntPairs(values).length > 0;

/** @param {Values} values @returns {boolean} whether the two lamps on the hot contact cannot be told apart yet */
export const areTogether = (values) => isLearnt(values) && values["lamp.told"] === "together";

/**
 * @param {Values} values
 * @returns {string[]} the pairs of a tester with three lamps, in the order in which the person sees them
 */
export const seenPairs = (values) => (isLearnt(values) ? learntPairs(values) : pairsOf(undefined));

/** @param {Values} values @returns {string[]} empty where it was not a right outlet */
function learntPairs(values) {
  const states = SEEN.map((at) => textAt(values, `lamp.learnt.${at}`));
  if (learntProblem(states)) return [];
  const apart = isApart(values) ? textAt(values, "lamp.apart") : String(states.indexOf("lit") + 1);
  return SEEN.map((at, i) => (states[i] === "dark" ? "n-g" : at === apart ? "h-n" : "h-g"));
}

/** @param {Values} values */
const isApart = (values) => values[`lamp.learnt.${textAt(values, "lamp.apart")}`] === "lit";

/** Names the lamps by the order in which they are seen, as far as each is known. @param {Values} values changed */
export function noteLearnt(values) {
  if (!isLearnt(values)) return;
  values["lamp.told"] = isApart(values) ? "apart" : "together";
  learntPairs(values).forEach((pair, i) => {
    const isKnown = isApart(values) || !ON_HOT.includes(pair);
    Object.assign(values, { [`lamp.${pair}.called`]: isKnown ? CALLED[i] : "" });
  });
}

/**
 * Gives what the lamps of a set show. Of lamps that were not told apart, it is known only where both show the same.
 * @param {Values} values
 * @param {string} [set] what the names of the fields begin with
 * @returns {Record<string, string>|null}
 */
export function lampsOf(values, set = "") {
  const seen = lampsIn(values, set);
  if (!seen || !areTogether(values) || seen["h-n"] === seen["h-g"]) return seen;
  const { "h-n": one, "h-g": other, ...rest } = seen;
  if ([one, other].some((state) => state && state !== "lit")) throw new EntryProblem(`${set}lamps.h-n`, UNLIKE);
  return Object.keys(rest).length ? rest : null;
}

/**
 * Puts the lamps of a screen into the order in which they are seen, each under its names.
 * @param {HTMLFormElement} form
 * @param {Values} values
 * @param {string[]} withLamp the pairs between which the tester has a lamp
 */
export function showLamps(form, values, withLamp) {
  for (const place of partsIn(form, "[data-called]")) {
    const pair = (place.dataset.called ?? "").split(".")[1] ?? "";
    place.textContent = quoted(calledAt(values, pair, place.dataset.called ?? ""));
    retitle(place, areTogether(values) && ON_HOT.includes(pair));
  }
  const lamps = partsIn(form, "[data-lamp]");
  for (const lamp of lamps) lamp.hidden = !withLamp.includes(lamp.dataset.lamp ?? "");
  for (const pair of form.dataset.step === "lamps" ? seenPairs(values) : []) {
    const lamp = lamps.find(({ dataset }) => dataset.lamp === pair);
    if (lamp) lamp.parentElement?.append(lamp);
  }
}

/** @param {Values} values @param {string} pair @param {string} name */
const calledAt = (values, pair, name) =>
  name.startsWith("lamp.") && isLearnt(values)
    ? CALLED[learntPairs(values).indexOf(pair)]
    : textAt(values, `${name}.called`);

/** @param {string|undefined} called */
const quoted = (called) => (called ? `“${called}”` : "");

/** @param {HTMLElement} called @param {boolean} isEither */
function retitle({ previousElementSibling: title, parentElement: legend }, isEither) {
  if (!(title instanceof HTMLElement)) return;
  title.dataset.own ??= title.textContent;
  title.textContent = isEither ? "Hot–neutral or hot–ground" : title.dataset.own;
  const face = legend?.parentElement?.querySelector("[data-facing]");
  if (!(face instanceof HTMLElement)) return;
  face.dataset.own ??= face.dataset.facing;
  face.dataset.facing = isEither ? "h" : face.dataset.own;
}

/** @param {ParentNode} root @param {string} selector @returns {HTMLElement[]} */
const partsIn = (root, selector) => [...root.querySelectorAll(selector)].filter((part) => part instanceof HTMLElement);
