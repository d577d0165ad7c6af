// Readings that cannot belong to one outlet, or that would be right wiring in another order: they are read again before
// there is a verdict. A likely slip is a choice, and nothing is put right by itself.
import { html } from "../lib/html.js";
import { PAIRS } from "../lib/words.js";
import { pairsOf } from "./pairs.js";

/** @import { Assessed } from "../../../schemas/shapes/assessed.d.ts" */
/** @import { Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "./entries.js" */
/** @typedef {Record<string, string>} Volts by pair, “121.3 V” */

/**
 * @typedef {object} Doubt
 * @property {string[]} pairs to be read again
 * @property {{pair: string, volts: string}[]} points what a pair may have shown, had its point been typed elsewhere
 * @property {Volts|null} order the same readings as they would be right wiring
 */

/** The id of the test, and of its screen. */
export const AGAIN = "read-again";

/** How often a pair can be read again; the earlier ones stay, each a set of its own. */
export const MOST_SETS = 3;

const PLACES = [10, 0.1, 100, 0.01];

/**
 * @param {Check} check as recorded
 * @param {Pick<Assessed, "verdict"|"next_test">} answer
 * @param {(volts: Volts) => boolean} isRight whether these volts in place of the check's would be right wiring
 * @returns {Doubt|null}
 */
export function doubtOf({ volts = {}, outlet, more }, { verdict, next_test: next }, isRight) {
  const read = /** @type {Volts} */ (volts);
  const asked = next?.id === AGAIN ? (next.pairs ?? []) : [];
  const isOpen = !more && !["use", "use-limited"].includes(verdict);
  const order = isOpen ? (orders(read, outlet).find(isRight) ?? null) : null;
  if (!asked.length && !order) return null;
  const points = asked.flatMap((pair) => pointsOf(read, pair, isRight));
  return { pairs: asked.length ? asked : Object.keys(order ?? {}), points, order };
}

/** @param {Volts} read @param {string} pair @param {(volts: Volts) => boolean} isRight */
function pointsOf(read, pair, isRight) {
  const shown = parseFloat(read[pair] ?? "");
  const others = PLACES.map((times) => String(Math.floor(shown * times * 10 + 0.5) / 10)).filter(
    (volts) => Number(volts) > 0 && Number(volts) <= 600,
  );
  return [...new Set(others)].map((volts) => ({ pair, volts })).filter((each) => isRight(withPoint(read, each)));
}

/** @param {Volts} read @param {{pair: string, volts: string}} point */
const withPoint = (read, { pair, volts }) => ({ ...read, [pair]: `${volts} V` });

/**
 * The orders that a slip makes: two readings exchanged, or all of them one box off.
 * @param {Volts} read
 * @param {string} outlet
 * @returns {Volts[]}
 */
function orders(read, outlet) {
  const pairs = pairsOf(outlet).filter((pair) => read[pair]);
  if (pairs.length < 3) return [];
  const last = pairs.length - 1;
  /** @param {(place: number) => number} from */
  const ordered = (from) => Object.fromEntries(pairs.map((pair, i) => [pair, read[pairs[from(i)] ?? ""] ?? ""]));
  const swaps = pairs.flatMap((_, one) =>
    pairs.slice(one + 1).map((__, k) => {
      const two = one + 1 + k;
      return ordered((i) => (i === one ? two : i === two ? one : i));
    }),
  );
  return [ordered((i) => (i === 0 ? last : i - 1)), ordered((i) => (i === last ? 0 : i + 1)), ...swaps];
}

/** @param {Values} values @returns {string[]} the pairs that are asked for */
const askedPairs = (values) => (values["again.pairs"] ?? "").split(" ").filter(Boolean);

/**
 * Notes which pairs are asked for, so that their fields show. What was read again before stays as a set of its own.
 * @param {Values} values changed
 * @param {string[]} [pairs] those of before where none are given
 */
export function openAgain(values, pairs = askedPairs(values)) {
  const sets = Number(values["again.sets"] || 0);
  if (values[`${AGAIN}.done`] === "yes" && sets + 1 < MOST_SETS) {
    for (const pair of pairsOf(values.outlet)) {
      Object.assign(values, { [`again.${sets}.volts.${pair}`]: values[`again.volts.${pair}`] ?? "" });
      Object.assign(values, { [`again.volts.${pair}`]: "" });
    }
    values["again.sets"] = String(sets + 1);
  }
  values["again.pairs"] = pairs.join(" ");
  for (const pair of pairsOf(values.outlet))
    Object.assign(values, { [`again.ask.${pair}`]: pairs.includes(pair) ? "yes" : "no" });
}

/** @param {Values} values @returns {string[]} what the fields of each set that was read again begin with */
export const againSets = (values) => [
  ...Array.from({ length: Number(values["again.sets"] || 0) }, (_, i) => `again.${i}.`),
  "again.",
];

/** @param {Values} values changed: what was read first was changed, so it is looked at anew */
export function forgetAgain(values) {
  if (values[`${AGAIN}.done`] === "no") values[`${AGAIN}.done`] = "";
}

/** @param {string[]} pairs @returns {string} “Read hot to neutral again” */
export const againTitle = (pairs) =>
  pairs.length === 1 ? `Read ${(PAIRS[pairs[0] ?? ""] ?? "").replace("–", " to ")} again` : "Read these again";

/**
 * Why, and what may have slipped. A choice changes what was typed only when it is tapped; another order is never taken
 * over, because a reversed outlet reads so too.
 * @param {Doubt} doubt
 * @param {Volts} read
 */
export function againMarkup({ pairs, points, order }, read) {
  const shown = Object.entries(read).map(([pair, volts]) => `${PAIRS[pair]} ${volts}`);
  return html`<p>${shown.join(", ")}: ${
    order && !points.length
      ? "that fits no right wiring, but in another order it would: "
      : "these cannot all belong to one outlet."
  }${
    order && !points.length
      ? `${Object.entries(order)
          .map(([pair, volts]) => `${PAIRS[pair]} ${volts}`)
          .join(", ")}.`
      : ""
  }</p>
    ${
      order
        ? html`<p>Some may stand in the wrong box, or the outlet is wired wrong: only reading again tells. Put the tips
          where each picture marks them.</p>`
        : ""
    }
    ${points.map(
      ({ pair, volts }) => html`<button type="button" class="button button--quiet button--wide" data-goto="verdict"
        data-says="volts.${pair}=${volts} ${AGAIN}.done=no">The meter showed ${volts} V ${PAIRS[pair]}: I
        mistyped</button>`,
    )}
    ${points.length ? html`<p class="hint">Only if you know. If you do not, read ${which(pairs)} again.</p>` : ""}`;
}

/** @param {string[]} pairs */
const which = (pairs) => (pairs.length === 1 ? "it" : "them");
