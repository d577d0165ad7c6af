import { clockWords } from "../lib/clocks.js";
import { html } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { CONTINUITIES, DETECTOR, INPUTS, PAIRS, placeName, STATES, SUPPLIES, VERDICTS } from "../lib/words.js";
import { mendLink, savedMarkup } from "../outbox/saved.js";
import { failureMarkup } from "./banner.js";
import { conflictMarkup } from "./conflict.js";
import { madeIn } from "./settling.js";
import { verdictMarkup } from "./verdict.js";

/** @import { BodyArrivalCheck, BodyOutletTest, BodyPlugIn, Loaded } from "../../../schemas/shapes/record.d.ts" */
/** @import { Meter, More, Pressed } from "../../../schemas/shapes/record.d.ts" */
/** @import { Rulebook } from "../../../schemas/shapes/rulebook.d.ts" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { Assessment } from "./judge.js" */

/** @typedef {BodyArrivalCheck|BodyOutletTest} CheckBody */
/** @typedef {Pick<More, "volts"|"lamps"|"loaded">} Readings */
/** @typedef {[string|undefined, unknown]} Line a name and what was read */

/**
 * @typedef {object} PastCheck
 * @property {Row[]} chain at least the first record
 * @property {Row[]} leaves
 * @property {Row[]} plugIns
 * @property {string|undefined} outlet
 * @property {Assessment} judged
 * @property {Rulebook|null} rulebook
 * @property {ReturnType<typeof html>|string} [before] what was found there before
 */

/** One check's page: judged now, read then, and everything that was kept about it. @param {PastCheck} about */
export function pastMarkup({ chain, leaves, plugIns, outlet, judged, rulebook, before }) {
  const [first, now] = /** @type {[Row, Row]} */ ([chain[0], chain.at(-1)]);
  const { kind } = now.record;
  const body = /** @type {CheckBody & Partial<BodyArrivalCheck>} */ (now.record.body);
  const clock = clockWords(first.clock_offset_s);
  const title = kind === "outlet-test" ? (outlet ?? "An outlet of the rig") : placeName(body.place);
  const isLive = plugIns.some(({ record }) => /** @type {BodyPlugIn} */ (record.body).judgement.level === "stop");
  return html`
    <h1>${title}</h1>
    <p class="when">${spoken(first.record.observed_at)} · ${savedMarkup(now)}${mendLink(now)}</p>
    ${
      clock
        ? html`<p class="caution">The phone’s clock was ${clock} the server’s when this was sent. The time above is the
          phone’s.</p>`
        : ""
    }
    ${isLive ? html`<p class="notice">After plugging in the rig’s skin was live: do not use this outlet.</p>` : ""}
    ${leaves.length > 1 ? conflictMarkup(leaves, readings) : ""}
    ${
      judged.answer && rulebook
        ? verdictMarkup(judged.answer, rulebook, {
            outlet: body.check.outlet,
            supply: body.check.supply,
            where: body.check.where,
            made: madeIn(body.check),
            notTested: body.not_tested,
            isKept: true,
          })
        : failureMarkup(judged.failure ?? "", "h2")
    }
    <section class="reasons"><h2>What was entered</h2>${readings(body)}</section>
    ${before ?? ""}
    ${plugIns.map(plugIn)}
    <section class="reasons"><h2>What was kept</h2><ol class="kept">${chain.map((row) =>
      kept(row, row === now, rulebook),
    )}</ol></section>
  `;
}

/** @param {CheckBody} body */
function readings({ check, ready }) {
  /** @type {Line[]} */
  const rows = [
    ["Outlet", `${check.outlet}, ${SUPPLIES[check.supply ?? "utility"]}`],
    ["Breaker", check.breaker_amps ?? "not read"],
    ["Damage looked for", check.look ? check.look.join(", ") || "none seen" : "not looked for"],
    ...(check.hertz ? [line("Frequency", check.hertz)] : []),
    ...setRows(check),
    ...(check.meter
      ? [
          line(
            "Meter",
            `${meter(check.meter)}, ${ready.category ?? "category not known"}, ${
              ready.meter_proved ? "proved on a known source" : "not proved"
            }`,
          ),
        ]
      : []),
    ...(check.more ?? []).flatMap(furtherRows),
    ...Object.entries(check.near ?? {}).map(([place, heard]) =>
      line(`Detector at ${DETECTOR[place]}`, heard ? "told voltage" : "silent"),
    ),
    ...Object.entries(check.continuity ?? {}).map(([pair, state]) => line(CONTINUITIES[pair], state)),
    ...(check.trip ?? []).map((pressed) =>
      line(pressed.device === "upstream" ? "TEST and RESET upstream" : "TEST and RESET", trip(pressed)),
    ),
    ["Dry, no thunder", ready.dry ? "yes" : "not said"],
  ];
  return html`<dl class="readings">${rows.map(
    ([name, value]) => html`<div><dt>${name}</dt><dd>${value}</dd></div>`,
  )}</dl>`;
}

/** @param {string|undefined} name @param {unknown} value @returns {Line} */
const line = (name, value) => [name, value];

/** What one set holds: volts, lamps, and the volts under a load. @param {Readings} set */
function setRows({ volts, lamps, loaded }) {
  return [
    ...Object.entries(volts ?? {}).map(([pair, shown]) => line(PAIRS[pair], shown)),
    ...Object.entries(lamps ?? {}).map(([pair, lamp]) => line(`Lamp ${PAIRS[pair]}`, lamp)),
    ...(loaded ? loadRows(loaded) : []),
  ];
}

/** @param {Loaded} loaded */
function loadRows({ across, amps, volts = {} }) {
  return [
    line("Load", `${amps}${across ? `, ${PAIRS[across]}` : ""}`),
    ...Object.entries(volts).map(([pair, shown]) => line(`Under load, ${PAIRS[pair]}`, shown)),
  ];
}

/** @param {More} set */
function furtherRows(set) {
  const what = [
    set.state === "as-found" ? "" : STATES[set.state ?? ""],
    set.meter ? INPUTS[set.meter.input ?? "high-impedance"] : "",
  ]
    .filter(Boolean)
    .join(", ");
  return setRows(set).map(([name, value]) => line(`${what || STATES["as-found"]}: ${name}`, value));
}

/** @param {Meter} meter */
const meter = ({ input, accuracy_percent, accuracy_volts }) =>
  [input ?? "high-impedance", `± ${accuracy_percent ?? "1.0 %"} ± ${accuracy_volts ?? "0.3 V"}`].join(", ");

/** @param {unknown} value @param {string} yes @param {string} no @param {string} unknown */
const say = (value, yes, no, unknown) => (value === undefined || value === null ? unknown : value ? yes : no);

/** @param {Pressed} pressed */
function trip({ tripped, face_dead, reset }) {
  const parts = [
    say(tripped, "tripped", "did not trip", "trip not tested"),
    say(face_dead, "face dead", "face stayed live", ""),
    say(reset, "reset", "did not reset", ""),
  ];
  return parts.filter(Boolean).join(", ");
}

/** @param {Extract<BodyPlugIn["skin"], {by: "meter"}>} skin @param {BodyPlugIn["judgement"]["level"]} level */
const skinByMeter = ({ volts, low_impedance, earth_proved }, level) =>
  [
    volts,
    low_impedance ? `${low_impedance} by a low-impedance meter` : "",
    earth_proved === false ? "the earth was not proved" : "",
    level === "not-tested" ? "not tested" : "",
    level !== "note" ? "" : low_impedance ? "harmless: it vanished" : "nothing shows that it is harmless",
  ]
    .filter(Boolean)
    .join(", ");

/** @param {Row} row */
function plugIn(row) {
  const { skin, inside, tingle, judgement } = /** @type {BodyPlugIn} */ (row.record.body);
  const read = !skin
    ? "not tested"
    : skin.by === "meter"
      ? skinByMeter(skin, judgement.level)
      : say(skin.detected, "the detector showed it live", "not tested: a silent detector shows nothing", "");
  return html`<section class="reasons"><h2>After plugging in</h2>
    ${judgement.level === "stop" ? html`<p class="caution"><b>Stop:</b> breaker off, do not touch the rig.</p>` : ""}
    ${judgement.level === "limit" ? html`<p class="caution">Check the ground before you go on.</p>` : ""}
    <dl class="readings"><div><dt>Skin to earth</dt><dd>${read}</dd></div>
    <div><dt>Volts inside</dt><dd>${inside ?? "not measured"}</dd></div>
    <div><dt>A tingle</dt><dd>${
      tingle ? "yes" : "none reported"
    }</dd></div></dl><p>${spoken(row.record.observed_at)} · ${savedMarkup(row)}</p></section>`;
}

/**
 * What one record said then, and by which rules.
 * @param {Row} row
 * @param {boolean} isCurrent
 * @param {Rulebook|null} rulebook
 */
function kept({ record, flags, hash }, isCurrent, rulebook) {
  const body = /** @type {CheckBody} */ (record.body);
  const { verdict, rulebook: by } = body.judgement;
  return html`<li>
    <p>${record.corrects ? html`<b>Correction:</b> ${record.reason}` : html`<b>First entry</b>`}</p>
    <p>${spoken(record.observed_at)}${record.made_by ? ` by ${record.made_by}` : ""}: it said <b>${
      VERDICTS[verdict] ?? "no verdict that is known here"
    }</b>${by === rulebook?.id ? "" : ", by another rulebook than now"}</p>
    ${!isCurrent ? html`<details class="more"><summary>What was entered then</summary>${readings(body)}</details>` : ""}
    ${flags.map(({ detail }) => html`<p class="caution">${detail}</p>`)}
    <details class="more"><summary>Marks to check it by</summary><p class="fingerprint">Fingerprint of this entry, which
      changes with any sign in it: <code>${hash}</code></p><p class="fingerprint">Rulebook that it was judged by:
      <code>${by}</code></p></details>
  </li>`;
}
