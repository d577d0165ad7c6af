// The test of a cord set with a meter: what is asked, and what it comes to.

import { html } from "../lib/html.js";
import { readEntry } from "../lib/measured.js";
import { OHMS } from "../lib/ranges.js";
import { lookBody } from "./answers.js";
import { choices, problem } from "./fields.js";

/** @import { LookPoint } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Answers } from "./answers.js" */
/** @typedef {{answers: Answers, points: LookPoint[], keeper?: string}} SetQuestion */

/**
 * @param {SetQuestion} asked
 * @param {unknown} points markup of what is asked of each conductor
 */
export function setScreen({ answers, keeper }, points) {
  return html`<p class="caution">Never with power on it, nor plugged into anything: ohms or continuity, and the meter
      shown to read its own leads first.</p>
    ${keeper ? html`<p class="hint">These tests are kept by ${keeper}.</p>` : ""}
    ${choices(
      "unplugged",
      "Unplugged at both ends, both in your sight?",
      [
        ["yes", "Yes"],
        ["no", "No"],
      ],
      answers,
    )}
    <div data-when="unplugged=yes">${points}
      <div class="field"><label for="ohms">Highest ohms of the ground, if read</label><p class="hint" id="ohms-hint">End
        to end, what the leads read by themselves taken off.</p><div class="number"><input type="text"
        inputmode="decimal" autocomplete="off" id="ohms" name="ohms" value="${answers.ohms ?? ""}"
        aria-describedby="ohms-hint ohms-problem"><span class="number__unit" aria-hidden="true">Ω</span></div>${problem(
          "ohms",
        )}</div></div>`;
}

const PLUGGED = "Unplug it at both ends first: ohms are read only where nothing feeds it and nothing hangs on it.";
const OPEN = "Say yes or no, or “Not looked”.";

/**
 * Says what is still to be answered.
 * @param {Answers} answers
 * @param {LookPoint[]} points
 * @returns {{problems: Record<string, string>, ohms: string}} ohms: as a number, empty where none were typed
 */
function read(answers, points) {
  const typed = (answers.ohms ?? "").trim();
  const entry = readEntry(typed || "0", OHMS);
  const ground = points.find(({ good }) => good);
  const said = ground && answers[`point.${ground.id}`];
  const most = ground?.good && "at_most" in ground.good ? ground.good.at_most : Infinity;
  const isHigh = Number(entry.number) > most;
  const high = "That is no good ground: answer No there, or read it once more with the leads taken off.";
  const ohms = entry.problem ?? (said === "none" ? "Say how the ground is, or take the ohms out." : "");
  return {
    ohms: typed && entry.number ? entry.number : "",
    problems: {
      ...(answers.unplugged === "yes" ? {} : { unplugged: answers.unplugged ? PLUGGED : "Say whether it is." }),
      ...Object.fromEntries(points.flatMap(({ id }) => (answers[`point.${id}`] ? [] : [[`point.${id}`, OPEN]]))),
      ...(typed && ohms ? { ohms } : {}),
      ...(typed && said === "good" && isHigh ? { ohms: high } : {}),
    },
  };
}

/** @param {SetQuestion} asked */
export function ofSet({ answers, points }) {
  const { problems, ohms } = read(answers, points);
  const look = lookBody(answers, points, "set");
  const bad = Object.values(look.points).filter((how) => how === "bad").length;
  const missing = look.not_tested.length;
  const body = { ...look, ...(ohms ? { ohms: `${ohms} ohm` } : {}) };
  return {
    problems,
    isBad: bad > 0,
    ...(bad ? { says: html`<p class="notice">Out of use until it is mended and every conductor shown good.</p>` } : {}),
    came: bad
      ? `${bad} of ${points.length} bad: out of use`
      : missing
        ? `${missing} of ${points.length} not looked at: it stays due`
        : "Every conductor good",
    members: async () => ({ kind: /** @type {const} */ ("look"), body }),
  };
}
