// One screen a step: what to do, what to look at, and what was seen.
import { hasTwoLegs } from "../check/pairs.js";
import { THREE_WIRE } from "../engine/contacts.js";
import { html } from "../lib/html.js";
import { PAIRS } from "../lib/words.js";
import { hasFace, modeAnswer, PATTERNS } from "./answers.js";
import { setScreen } from "./cord-sets.js";
import { choice, choices, problem, row } from "./fields.js";
import { endsMarkup, skinScreen } from "./skin-and-ends.js";
import { dueWords, isDue, loadDue } from "./steps.js";

/** @import { LookPoint } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Chain } from "../rig/rig-of.js" */
/** @import { Answers } from "./answers.js" */
/** @import { Step } from "./steps.js" */

/**
 * @typedef {object} StepScreen what a screen is about
 * @property {Step} step
 * @property {Answers} answers so far
 * @property {string} [type] of a device
 * @property {Chain<"outlet">[]} outlets that a device may guard
 * @property {string[]} modes of the rig, where a device has power in more than one
 * @property {string} [outlet] how the outlet is configured
 * @property {LookPoint[]} points what is looked at
 * @property {string} [keeper] who keeps the tests of cord sets
 * @property {Record<string, string|undefined>} called the person's own names of the lamps, by pair
 * @property {boolean} [isDry] whether it was said today that it is dry
 * @property {string} [supply]
 * @property {string} rig its id
 */

/** @param {StepScreen} asked */
export function screen(asked) {
  const { step } = asked;
  const why = step.due.filter((item) => isDue(item) && item.thing.what !== "outlet-loaded").map(dueWords);
  return html`<form class="step" novalidate><div class="step__body">
      <h1 tabindex="-1">${step.name}</h1>
      ${why.length ? html`<p class="hint">${why.join(", ")}</p>` : ""}
      ${SCREENS[step.what](asked)}
      <div class="part" data-part="says" role="status"></div>
      <fl-saved hidden></fl-saved>
      <button type="button" class="button button--quiet button--wide" data-again
        hidden>Test again: the first result stays in the log</button>
      ${skipping(asked)}
    </div>
    <div class="actions"><button type="button" class="button button--back" data-back><svg aria-hidden="true"><use
      href="/static/shapes.svg#back"></use></svg><span class="visually-hidden">Back to the list</span></button>
      <button type="submit" class="button button--main" data-next>Next</button></div></form>`;
}

/** @type {Record<Step["what"], (asked: StepScreen) => unknown>} */
const SCREENS = { device: deviceScreen, outlet: outletScreen, look: lookScreen };

const PROBE = "Lamps or meter only, never a screwdriver. Not in rain, not on wet ground.";

/** @param {StepScreen} asked */
function deviceScreen({ answers, type, outlets, modes }) {
  return html`
    ${
      modes.length
        ? choices("mode", "Mode of the rig now", [...modes.map(modeOption), ["none", "Not known"]], answers, {
            look: "lines",
          })
        : ""
    }
    ${testNow(answers)}
    ${
      hasFace(type)
        ? choices(
            "face_dead",
            "Its own face",
            [
              ["yes", "Dead"],
              ["no", "Still live"],
              ["none", "Not read"],
            ],
            answers,
            {
              hint: "Lamps or meter in its own contacts. An older one can trip and leave its face live.",
              when: "tripped=yes",
            },
          )
        : ""
    }
    ${outlets.length ? deadNow(outlets, answers) : ""}
    ${resetNow(answers)}`;
}

/** Without power TEST shows nothing. @param {Answers} answers */
const testNow = (answers) =>
  html`${choices(
    "tripped",
    "Press TEST",
    [
      ["yes", "It tripped"],
      ["no", "It stayed on"],
    ],
    answers,
    { hint: "First switch off or unplug what runs on it: a trip cuts all of it at once." },
  )}
    ${choices(
      "power",
      "Had it power before you pressed?",
      [
        ["yes", "Yes, something ran or was read"],
        ["no", "No power"],
        ["none", "Not known"],
      ],
      answers,
      { look: "lines", when: "tripped=no" },
    )}`;

/** RESET holds only once it was pressed. @param {Answers} answers */
const resetNow = (answers) =>
  html`<div data-when="tripped=yes">${choices(
    "pressed",
    "Press RESET",
    [
      ["yes", "Pressed"],
      ["no", "Not pressed"],
    ],
    answers,
  )}
    ${choices(
      "reset",
      "Does it hold?",
      [
        ["yes", "It holds"],
        ["no", "It does not hold"],
      ],
      answers,
      { when: "pressed=yes" },
    )}</div>`;

/** @param {string} mode @returns {[string, string]} */
const modeOption = (mode) => [modeAnswer(mode), mode];

/** @param {Chain<"outlet">[]} outlets @param {Answers} answers */
function deadNow(outlets, answers) {
  /** @type {[string, string][]} */
  const states = [
    ["dead", "Dead"],
    ["live", "Live"],
  ];
  /** @type {[string, string][]} */
  const others = [
    ["live", "Live"],
    ["dead", "Dead"],
    ["none", "Not tried"],
  ];
  return html`<div data-when="tripped=yes"><h2>What is dead now?</h2><p class="caution">${PROBE}</p>
      ${outlets.map(({ id, body }) => row(`outlet.${id}`, body.name, states, answers))}
      ${choices("others", "All others are", others, answers)}</div>`;
}

/** @param {StepScreen} asked */
function outletScreen({ step, answers, outlet, called, isDry, supply }) {
  const load = loadDue(step);
  return html`
    <a class="button button--quiet button--wide" href="/outlets/${step.subject}" data-way>${
      load ? "With a known load: due, for only that shows a joint going bad" : "By meter or with a load"
    }</a>
    ${
      isDry
        ? ""
        : choices(
            "dry",
            "Dry here, no thunder?",
            [
              ["yes", "Dry"],
              ["no", "Wet, or thunder"],
            ],
            answers,
          )
    }
    ${
      supply
        ? ""
        : choices(
            "supply",
            "Fed by",
            [
              ["utility", "Shore power"],
              ["generator", "Generator"],
              ["inverter", "Inverter"],
            ],
            answers,
          )
    }
    ${hasTwoLegs(outlet) ? problem("pattern") : lamps(answers, called)}`;
}

/** @type {Record<string, string>} */
const STATES = { lit: "Lit", dim: "Dim", dark: "Dark", none: "Not looked at" };
const THREE = THREE_WIRE.usual;

/** @param {Answers} answers @param {StepScreen["called"]} called */
function lamps(answers, called) {
  const heads = THREE.map(
    (pair) => html`<span>${PAIRS[pair]}${called[pair] ? html` <b>“${called[pair]}”</b>` : ""}</span>`,
  );
  return html`<p class="caution">${PROBE}</p>
    <fieldset class="field choices choices--lines lamps" aria-describedby="pattern-problem"><legend>What does your
      tester show?</legend>
      <div class="lamps__row" aria-hidden="true">${heads}</div>
      <div class="choices__options">${PATTERNS.map((pattern) =>
        choice("pattern", pattern, shown(pattern), answers),
      )}${choice("pattern", "other", "Something else", answers)}</div>${problem("pattern")}</fieldset>
    <div data-when="pattern=other">${THREE.map((pair) =>
      choices(`lamps.${pair}`, `The ${PAIRS[pair]} lamp`, Object.entries(STATES), answers),
    )}</div>`;
}

/** @param {string} pattern */
function shown(pattern) {
  const states = pattern.split(" ");
  const spoken = states.map((state, i) => `${PAIRS[THREE[i] ?? ""]} ${state}`).join(", ");
  return html`<span class="visually-hidden">${spoken}</span><span class="lamps__row" aria-hidden="true">${states.map(
    (state) => html`<span data-lamp-is="${state}">${STATES[state]}</span>`,
  )}</span>`;
}

/** @param {StepScreen} asked */
function lookScreen(asked) {
  if (asked.step.of === "skin") return skinScreen(asked);
  const { answers, points, step } = asked;
  const all = html`<button type="button" class="button button--quiet button--wide"
        data-all>Yes to all of these</button>`;
  if (step.of === "set") return setScreen(asked, html`${pointsMarkup(asked)}${all}`);
  return html`${pointsMarkup(asked)}${points.length > 1 ? all : ""}${step.of === "alarms" ? endsMarkup(answers) : ""}`;
}

/** @param {StepScreen} asked */
function pointsMarkup({ answers, points }) {
  return points.map(
    ({ id, ask, bad }) => html`${choices(
      `point.${id}`,
      ask,
      [
        ["good", "Yes"],
        ["bad", "No"],
        ["none", "Not looked"],
      ],
      answers,
    )}
    <p class="notice" role="alert" data-when="point.${id}=bad">${bad}</p>`,
  );
}

/** @param {StepScreen} asked */
function skipping({ answers }) {
  return html`<details class="more" data-part="skip"><summary>Skip this step</summary>
    <div class="field"><label for="why">Why, if you like</label><input type="text" id="why" name="why" maxlength="200"
      autocomplete="off" value="${answers.why ?? ""}"></div>
    <button type="button" class="button button--quiet button--wide" data-skip>Skip: not tested</button></details>`;
}
