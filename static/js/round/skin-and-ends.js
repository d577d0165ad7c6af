// The rig’s skin, and the printed ends of alarms and extinguisher: what is asked, and what it comes to.
import { judgeSkin } from "../check/skin.js";
import { html } from "../lib/html.js";
import { readEntry } from "../lib/measured.js";
import { VOLTS } from "../lib/ranges.js";
import { ENDS, endLines, MONTH } from "../rig/ends.js";
import { rulebook } from "../sync/rulebook.js";
import { choices, problem } from "./fields.js";

/** @import { Values } from "../check/entries.js" */
/** @import { Answers } from "./answers.js" */

/** @param {{answers: Answers, rig: string}} asked */
export function skinScreen({ answers, rig }) {
  return html`<p
        class="caution">Do not touch bare metal of the rig before it is read. One tip on bare metal of the rig, one
      on bare metal that stands in the soil already: a post or a stake, some metres away, not the pedestal.
      High-impedance       meter, AC volts, hands on the insulation only, no rain.</p>
    ${choices(
      "shore",
      "Plugged in to shore power, breaker on?",
      [
        ["yes", "On shore power"],
        ["no", "Not now"],
      ],
      answers,
    )}
    ${choices(
      "earth",
      "Has a hot contact shown full volts to this earth?",
      [
        ["yes", "Yes"],
        ["no", "No"],
      ],
      answers,
      { hint: "Nothing against an earth that was not proved shows nothing." },
    )}
    <div class="field"><label for="volts">Volts from the skin to earth</label><div class="number"><input type="text"
      inputmode="decimal" autocomplete="off" id="volts" name="volts" value="${answers.volts ?? ""}"
      aria-describedby="volts-problem"><span class="number__unit"
        aria-hidden="true">V</span></div>${problem("volts")}</div>
    <a class="button button--alarm button--wide" href="/incidents/new#rig=${rig}&what=shock">Someone felt a tingle</a>`;
}

/** @param {Answers} answers */
export const endsMarkup = (
  answers,
) => html`<h2>Printed ends</h2><p class="hint">Year and month, as 2031-05. They stand on the
    back or the side. Empty: not read.</p>${Object.entries(ENDS).map(
      ([
        id,
        name,
      ]) => html`<div class="field"><label for="end-${id}">${name}</label><input type="text" inputmode="numeric"
      autocomplete="off" maxlength="7" id="end-${id}" name="end.${id}" value="${answers[`end.${id}`] ?? ""}"
      aria-describedby="end.${id}-problem">${problem(`end.${id}`)}</div>`,
    )}`;

/** @param {Answers} answers @returns {Record<string, string>} the months that were typed, by what they stand on */
const endsTyped = (answers) =>
  Object.fromEntries(
    Object.keys(ENDS).flatMap((id) => {
      const month = (answers[`end.${id}`] ?? "").trim();
      return month ? [[id, month]] : [];
    }),
  );

/** @param {Answers} answers @returns {Record<string, string>} what is wrong with the months, by field */
const endProblems = (answers) =>
  Object.fromEntries(
    Object.entries(endsTyped(answers))
      .filter(([, month]) => !MONTH.test(month))
      .map(([id]) => [`end.${id}`, "Write year and month, such as 2031-05, or leave it empty."]),
  );

/** @param {Answers} answers @param {string} today */
export function ofEnds(answers, today) {
  const ends = endsTyped(answers);
  return {
    problems: endProblems(answers),
    says: html`${endLines(ends, today).map((line) => html`<p class="notice">${line}</p>`)}`,
    body: Object.keys(ends).length ? { ends } : {},
  };
}

const UNPROVED = "Nothing against an earth that was not proved shows nothing: the skin stays due.";
const ON_SHORE = "Only shore power shows what the skin carries. Plug in, or skip this step.";

/** @param {Answers} answers */
export function ofSkin(answers) {
  const entry = readEntry(answers.volts ?? "", { ...VOLTS, what: "the volts" });
  const problems = {
    ...(answers.shore === "yes" ? {} : { shore: answers.shore ? ON_SHORE : "Say whether it is on shore power now." }),
    ...(answers.earth ? {} : { earth: "Say whether a hot contact showed that this is an earth." }),
    ...(entry.problem ? { volts: entry.problem } : {}),
    ...(rulebook() ? {} : { volts: "The rulebook is not on this phone yet. Open this page once with a signal." }),
  };
  if (Object.keys(problems).length) return { problems: /** @type {Record<string, string>} */ (problems), isBad: false };
  /** @type {Values} */
  const values = { "skin.by": "meter", "skin.volts": entry.number, "skin.earth": answers.earth, supply: "utility" };
  judgeSkin(values, rulebook());
  const level = values["skin.level"];
  // Volts are believed against any earth, silence only against a proved one.
  const isUnknown = level === "not-tested";
  const isQuiet = level === "none" || isUnknown;
  const body = {
    of: "skin",
    points: isUnknown ? {} : { "skin-quiet": isQuiet ? "good" : "bad" },
    not_tested: isUnknown ? ["skin-quiet"] : [],
    note: "",
    volts: `${entry.number} V`,
  };
  return {
    problems: {},
    isBad: !isQuiet,
    says: html`<p class="notice">${isUnknown ? UNPROVED : values["skin.sentence"]}${
      level === "limit" ? " Breaker off, do not touch the rig, then unplug." : ""
    }</p>`,
    came: `${entry.number} V to ${isUnknown ? "an earth that was not proved" : "earth"}`,
    members: async () => ({ kind: /** @type {const} */ ("look"), body }),
  };
}
