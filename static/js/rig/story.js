// An outlet's story: where it hangs, what guards it, how it was last found, and what is still to be proved.
import { html } from "../lib/html.js";
import { dayOf, spoken, spokenDay } from "../lib/times.js";
import { judgedMap } from "./judged.js";
import { progressOf } from "./proving.js";
import { rigsOf } from "./rig-of.js";
import { hasSides, runAt, wayTo } from "./runs.js";
import { contradictionText, guardText, namesOf, placesOf, toldBothText } from "./words.js";

/** @import { Check, RigPart, RigRun } from "../../../schemas/shapes/record.d.ts" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { RigRules } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { JudgedMap } from "./judged.js" */
/** @import { Progress } from "./proving.js" */
/** @import { Chain, Rig } from "./rig-of.js" */
/** @typedef {Progress & {change: Chain<"change">}} OpenChange */

const SHOWN = 3;
/** @type {Record<string, string>} */
const POINTS = {
  "outlet-cover": "cover",
  "outlet-strain-relief": "strain relief",
  "outlet-dry": "dryness",
  "outlet-grip": "grip of the plug",
};

const FOUND = { good: "good", bad: "BAD" };

/**
 * @typedef {object} Story
 * @property {Rig} rig
 * @property {Chain<"outlet">} outlet
 * @property {RigPart[]} parts of the map that stand for it
 * @property {JudgedMap} judged
 * @property {OpenChange[]|null} changes that touch it and are not proved; null where the rules are not here
 */

/**
 * @param {Row[]} rows in order
 * @param {string} id of any version of the outlet
 * @param {RigRules|null} rules
 * @returns {Story|null} null where the phone does not hold the outlet
 */
export function storyOf(rows, id, rules) {
  const found = rigsOf(rows).map((each) => ({ rig: each, outlet: each.outlets.find(({ ids }) => ids.includes(id)) }));
  const { rig, outlet } = found.find((each) => each.outlet) ?? {};
  if (!rig || !outlet) return null;
  const judged = judgedMap(rig);
  const parts = judged.map.parts.filter((part) => part.outlet === outlet.id);
  return { rig, outlet, parts, judged, changes: openChanges(rows, { rig, parts }, rules) };
}

/**
 * @param {Row[]} rows
 * @param {Pick<Story, "rig"|"parts">} where
 * @param {RigRules|null} rules
 * @returns {OpenChange[]|null}
 */
function openChanges(rows, { rig, parts }, rules) {
  if (!rules) return rig.newest("change").length ? null : [];
  const own = new Set(parts.map(({ id }) => id));
  const all = rig.newest("change").flatMap(({ id }) => progressOf(rows, id, rules.proving) ?? []);
  /** @param {OpenChange} progress */
  const touches = ({ change, steps }) =>
    change.body.parts.some((part) => own.has(part)) || steps.some(({ part }) => part !== null && own.has(part));
  return all.filter((progress) => progress.state !== "proved" && touches(progress));
}

/**
 * @param {Story} story
 * @param {{rules: RigRules|null, wordOf: (verdict: string) => string, ohmsOf: (check: Check) => number|null}} by
 */
export function storyMarkup(story, { rules, wordOf, ohmsOf }) {
  const { rig, outlet, parts, judged } = story;
  const { modes, map, contradictions, toldBoth } = judged;
  const names = namesOf(map);
  const contradicted = contradictions.filter(({ part }) => parts.some(({ id }) => id === part));
  const rows = [
    ["Where", placeText(parts, judged, names)],
    ["Guard", guardLines(parts, { modes, names })],
    ["Under load", loadText(rig.newest("outlet-test", outlet), ohmsOf)],
    ["Cover, cable, wet: last look", lookText(rig.newest("look", outlet))],
  ];
  return html`<h2 tabindex="-1">${outlet.body.name}</h2>
    ${changeMarkup(story)}
    ${Object.entries(modes).map(([mode, { stops }]) =>
      stops.length ? html`<p class="caution">${mode} Do not switch the rig on so: the map says why.</p>` : "",
    )}
    ${contradicted.map((each) => html`<p class="caution">${contradictionText(each, names)}</p>`)}
    ${toldBoth
      .filter(({ part }) => parts.some(({ id }) => id === part))
      .map((each) => html`<p class="caution">${toldBothText(each, names)}</p>`)}
    <dl class="readings">${rows
      .filter(([, told]) => told)
      .map(([name, told]) => html`<div><dt>${name}</dt><dd>${told}</dd></div>`)}</dl>
    ${badLook(rig.newest("look", outlet), rules)}
    ${testsMarkup(rig.newest("outlet-test", outlet), wordOf)}
    <p class="rig-text__ways"><button type="button" class="button" data-test>Test it now</button> <a
      class="button button--quiet" href="/rigs/${rig.id}/map">The map</a> <a class="button button--quiet"
      href="/rigs/${rig.id}/outlets/${outlet.id}/trends">Over time</a>${devicesOf(parts, judged).map(
        ({ device, name }) =>
          html` <a class="button button--quiet" href="/round#rig=${rig.id}&device=${device}">Press TEST at ${name}</a>`,
      )}</p>`;
}

/**
 * The way from the supply, in each mode that has another.
 * @param {RigPart[]} parts
 * @param {JudgedMap} judged
 * @param {Map<string, string>} names
 */
function placeText(parts, { map, modes }, names) {
  const [own] = parts;
  if (!own) return "Not on the map yet";
  const kinds = new Map(map.parts.map(({ id, kind }) => [id, kind]));
  /** @param {RigRun} run */
  const step = (run) =>
    `${names.get(run.from) ?? run.from}${hasSides(kinds.get(run.from)) ? ` (${run.from_side ?? "line"} side)` : ""}`;
  /** @param {string} mode */
  const way = (mode) =>
    [...wayTo(map, own.id, map.modes[mode]?.without).map((run) => step(runAt(map, run))), names.get(own.id)].join(
      " → ",
    );
  const places = placesOf(own).join(", ");
  return html`${byMode(Object.keys(modes), way)}${places ? ` (${places})` : ""}`;
}

/** @param {RigPart[]} parts @param {{modes: JudgedMap["modes"], names: Map<string, string>}} known */
function guardLines(parts, { modes, names }) {
  const [own] = parts;
  if (!own) return "Not known: it is not on the map";
  return byMode(Object.keys(modes), (mode) => {
    const judged = modes[mode];
    return judged ? guardText(own, { ...judged, names }) : "";
  });
}

/** Says it once where all modes agree. @param {string[]} modes @param {(mode: string) => string} say */
function byMode(modes, say) {
  const told = modes.map(say);
  if (new Set(told).size === 1) return told[0];
  return html`${modes.map((mode, i) => html`<span class="story__mode">${mode}: ${told[i]}</span> `)}`;
}

/** @param {RigPart[]} parts @param {JudgedMap} judged */
function devicesOf(parts, { map, modes }) {
  const guards = new Set(
    Object.values(modes).flatMap((mode) =>
      parts.flatMap(({ id }) => [
        ...(mode.guards[id] ?? []),
        ...(mode.disproved[id] ?? []).map(({ guard }) => guard), // to be tripped again
      ]),
    ),
  );
  return map.parts.filter(({ id, device }) => device && guards.has(id));
}

/**
 * The newest load and the one before it; how much is much is not said here.
 * @param {Chain<"outlet-test">[]} tests
 * @param {(check: Check) => number|null} ohmsOf
 */
function loadText(tests, ohmsOf) {
  const loaded = tests
    .map(({ body, record }) => ({ check: body.check, at: record.observed_at }))
    .filter(({ check }) => isLoaded(check));
  const [newest] = loaded;
  if (!newest) return "never tested";
  /** @type {{ohms: string, at: string}[]} */
  const known = [];
  for (const { check, at } of loaded) {
    const ohms = known.length < 2 ? ohmsOf(check) : null;
    if (ohms !== null) known.push({ ohms: ohms.toFixed(2), at });
  }
  const [now, before] = known;
  if (!now) return `${spokenDay(dayOf(newest.at))}, ohms not known`;
  /** @param {{at: string}} known */
  const day = ({ at }) => spokenDay(dayOf(at));
  return before
    ? `was ${before.ohms} ohm (${day(before)}), now ${now.ohms} ohm (${day(now)})`
    : `${now.ohms} ohm there and back (${day(now)})`;
}

/** @param {Check} check */
const isLoaded = ({ loaded, more = [] }) => Boolean(loaded) || more.some((set) => set.loaded);

/** @param {Chain<"look">} look */
const isOfOutlet = ({ body }) => body.of === "outlet" && Object.keys(body.points).length > 0;

/** @param {Chain<"look">[]} looks */
function lookText(looks) {
  const last = looks.find(isOfOutlet);
  if (!last) return "never";
  const { points, not_tested: missing } = last.body;
  const told = [
    ...Object.entries(points).map(([point, found]) => `${POINTS[point] ?? point} ${FOUND[found] ?? "not looked at"}`),
    ...missing.map((point) => `${POINTS[point] ?? point} not looked at`),
  ];
  return `${spokenDay(dayOf(last.record.observed_at))}: ${told.join(", ")}`;
}

/** @param {Chain<"look">[]} looks @param {RigRules|null} rules */
function badLook(looks, rules) {
  // A later look that leaves a point out settles nothing.
  /** @param {string} id */
  const newest = (id) => looks.find(({ body }) => body.of === "outlet" && body.points[id])?.body.points[id];
  const bad = (rules?.looks ?? []).filter(({ id }) => newest(id) === "bad");
  return bad.map((point) => html`<p class="caution">${point.bad}</p>`);
}

/** @param {Chain<"outlet-test">[]} tests @param {(verdict: string) => string} wordOf */
function testsMarkup(tests, wordOf) {
  if (!tests.length) return html`<p>Never tested.</p>`;
  return html`<ul class="due">${tests.slice(0, SHOWN).map(
    ({ record, body }) =>
      html`<li><a class="check-card story__test" href="/checks/${record.id}"
          data-verdict="${body.judgement.verdict}"><svg class="check-card__shape" aria-hidden="true"><use
            href="/static/shapes.svg#${body.judgement.verdict}"></use></svg><b
              class="check-card__word">${wordOf(body.judgement.verdict)}</b><span
                class="check-card__when">${spoken(record.observed_at)}</span></a></li>`,
  )}</ul>`;
}

/** @param {Story} story */
function changeMarkup({ changes }) {
  if (!changes)
    return html`<p class="notice">The wiring was changed. Whether that is proved here cannot be told: the rules are not
      on this phone yet.</p>`;
  return changes.map(
    ({ change, state }) =>
      html`<p class="notice">Changed ${spokenDay(dayOf(change.record.observed_at))}:
        ${change.body.what.replace(/[.\s]+$/, "")}. ${
          state === "failed" ? "Not yet proved: a step is bad." : "Not yet proved."
        } <a class="button button--quiet" href="/changes/${change.id}">Prove it</a></p>`,
  );
}

/** What stands beside a verdict: readings alone prove no change. @param {Story} story */
export function unprovedMarkup(story) {
  if (!story.changes) return changeMarkup(story);
  return story.changes.map(
    ({ change, state }) =>
      html`<p class="caution">Changed, not yet proved: the wiring that this outlet hangs on was changed
        ${spokenDay(dayOf(change.record.observed_at))} (${change.body.what}). ${
          state === "failed" ? "A step of its proof is bad." : "These readings alone do not prove it."
        } <a class="button button--quiet" href="/changes/${change.id}">Prove it</a></p>`,
  );
}
