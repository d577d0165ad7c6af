// What the answers of a step come to: what is still open, what was found, and the record that says so.

import { failureMarkup } from "../check/banner.js";
import { assess, broughtEngine } from "../check/engine.js";
import { judge, judgementOf, letsPlugIn } from "../check/judge.js";
import { hasTwoLegs } from "../check/pairs.js";
import { checkOf } from "../check/record.js";
import { html } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { VERDICTS } from "../lib/words.js";
import { rulebook } from "../sync/rulebook.js";
import {
  againstMap,
  hasFace,
  lampsOf,
  lookBody,
  outletProblems,
  tripBody,
  tripProblems,
  tripStops,
} from "./answers.js";
import { ofSet } from "./cord-sets.js";
import { lampTest } from "./keeping.js";
import { ofEnds, ofSkin } from "./skin-and-ends.js";

/** @import { BodyRigMap, BodyTripTest, LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "../check/entries.js" */
/** @import { Chain, Rig } from "../rig/rig-of.js" */
/** @import { StepScreen } from "./screens.js" */

/**
 * @typedef {object} StepFinding
 * @property {Record<string, string>} problems what is still to be answered, by field
 * @property {boolean} isBad whether a person must see it before going on
 * @property {ReturnType<typeof html>} [says]
 * @property {string} [came] in a few words
 * @property {() => Promise<{kind: LogRecord["kind"], body: object, instrument?: string|null}>} [members] of the record
 * @property {boolean} [isElsewhere] whether another page made the record
 */

/**
 * @typedef {object} RoundContext
 * @property {Rig} rig
 * @property {BodyRigMap} map
 * @property {Values} lamps what is remembered of the tester
 * @property {string} today
 * @property {Chain<"outlet-test">} [made] a test made on the outlet's own page
 */

/** @param {StepScreen} asked @param {RoundContext} known @returns {StepFinding} */
export const found = (asked, known) =>
  ({ device: ofDevice, outlet: ofOutlet, look: ofLook })[asked.step.what](asked, known);

/** @param {StepScreen} asked @param {RoundContext} known @returns {StepFinding} */
function ofDevice({ step, answers, type, outlets, modes }, { rig, map }) {
  const ids = outlets.map(({ id }) => id);
  const problems = tripProblems(answers, { outlets: ids, face: hasFace(type), modes });
  const body = tripBody(answers, ids, modes);
  const stops = tripStops(body, rulebook());
  const against = Object.keys(problems).length ? [] : againstMap(map, rig, step.subject ?? "", body);
  const way = html`<p><a class="button button--quiet" href="/rigs/${rig.id}/map">Look at the map</a></p>`;
  return {
    problems,
    isBad: stops.length + against.length > 0,
    says: html`${stops.map((each) => html`<p class="notice">${each}</p>`)}${
      against.length ? html`<div class="notice">${against.map((each) => html`<p>${each}</p>`)}${way}</div>` : ""
    }`,
    came: tripWords(body, against.length),
    members: async () => ({ kind: "trip-test", body }),
  };
}

/** @param {BodyTripTest} body @param {number} against */
function tripWords({ tripped, face_dead: face, reset }, against) {
  if (tripped === null) return "Not tested";
  if (!tripped) return "Did not trip";
  return [
    "Tripped",
    face === false ? "its face stayed live" : "",
    reset ? "reset" : reset === false ? "did not reset" : "reset not tried",
    against ? "against the map" : "",
  ]
    .filter(Boolean)
    .join(", ");
}

/** @param {StepScreen} asked @param {RoundContext} known @returns {StepFinding} */
function ofOutlet(asked, known) {
  const { answers, outlet = "" } = asked;
  const supply = answers.supply || asked.supply;
  if (!answers.pattern && known.made) return ofPage(known.made);
  if (hasTwoLegs(outlet))
    return {
      isBad: false,
      problems: { pattern: "Lamps alone do not show this outlet. Test it by meter, or skip this step." },
    };
  const problems = outletProblems(answers, { supply, isDry: asked.isDry || answers.dry === "yes" });
  if (Object.keys(problems).length) return { problems, isBad: false };
  const values = { ...known.lamps, ...lampsOf(answers), outlet, supply: supply ?? "" };
  const book = rulebook();
  const judged = judge(() => checkOf(values, "rig"), book, assess);
  if (!judged.answer || !book) return unjudged(judged.failure ?? "");
  const { answer } = judged;
  const { bannerMarkup, findingsMarkup, reasonsMarkup } = broughtEngine();
  const isBad = !letsPlugIn(judged);
  const about = { outlet, where: /** @type {const} */ ("rig"), supply, made: ["lamps"], notTested: [] };
  const more = isBad ? reasonsMarkup(answer, book, about) : findingsMarkup(answer, book, outlet);
  return {
    problems,
    isBad,
    says: html`${bannerMarkup(answer, book, about, "h2")}<div class="reasons">${more}</div>`,
    came: book.words.verdicts[answer.verdict].word,
    members: () => lampTest(values, judgementOf(answer)),
  };
}

/** @param {string} failure @returns {StepFinding} */
const unjudged = (failure) => ({
  problems: { pattern: failure },
  isBad: false,
  says: failureMarkup(failure, "h2"),
});

/**
 * A test of the outlet's own page was judged and kept there.
 * @param {Chain<"outlet-test">} made
 * @returns {StepFinding}
 */
function ofPage({ record, body }) {
  const verdict = VERDICTS[body.judgement.verdict] ?? "Not known";
  return {
    problems: {},
    isBad: false,
    isElsewhere: true,
    came: verdict,
    says: html`<p class="notice">Tested on its own page, ${spoken(record.observed_at)}: <b>${verdict}</b></p>`,
  };
}

/** @param {StepScreen} asked @param {RoundContext} known @returns {StepFinding} */
function ofLook(asked, known) {
  const { step, answers, points } = asked;
  if (step.of === "skin") return ofSkin(answers);
  if (step.of === "set") return ofSet(asked);
  const open = points.filter(({ id }) => !answers[`point.${id}`]);
  const more = step.of === "alarms" ? ofEnds(answers, known.today) : null;
  const body = { ...lookBody(answers, points, step.of ?? "outlet"), ...more?.body };
  const bad = Object.values(body.points).filter((how) => how === "bad").length;
  return {
    problems: {
      ...Object.fromEntries(open.map(({ id }) => [`point.${id}`, "Say yes or no, or “Not looked”."])),
      ...more?.problems,
    },
    isBad: bad > 0,
    ...(more ? { says: more.says } : {}),
    came: bad
      ? `${bad} of ${points.length} bad`
      : body.not_tested.length
        ? `${body.not_tested.length} of ${points.length} not looked at`
        : "As it should be",
    members: async () => ({ kind: "look", body }),
  };
}
