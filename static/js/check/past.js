import { clockWords } from "../lib/clocks.js";
import { html } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { CONTINUITIES, INPUTS, NEAR, PAIRS, placeName, STATES, SUPPLIES } from "../lib/words.js";
import { mendLink, savedMarkup } from "../outbox/saved.js";
import { failureMarkup } from "./banner.js";
import { conflictMarkup } from "./conflict.js";
import { verdictMarkup } from "./verdict.js";

/**
 * One check's page: judged now, read then, and everything that was kept about it.
 * @param {{chain: import("../outbox/queue.js").Row[], leaves: import("../outbox/queue.js").Row[], plugIns:
 *   import("../outbox/queue.js").Row[], outlet: string|undefined, judged: import("./judge.js").Judged, rulebook:
 *   Record<string, any>|null}} about
 */
export function pastMarkup({ chain, leaves, plugIns, outlet, judged, rulebook }) {
  const now = chain.at(-1);
  const { body, kind } = now.record;
  const clock = clockWords(chain[0].clock_offset_s);
  const title = kind === "outlet-test" ? (outlet ?? "An outlet of the rig") : placeName(body.place);
  return html`
    <h1>${title}</h1>
    <p class="when">${spoken(chain[0].record.observed_at)} · ${savedMarkup(now)}${mendLink(now)}</p>
    ${
      clock
        ? html`<p class="caution">The phone’s clock was ${clock} the server’s when this was sent. The time above is the
          phone’s.</p>`
        : ""
    }
    ${leaves.length > 1 ? conflictMarkup(leaves, rulebook, readings) : ""}
    ${
      judged.answer
        ? verdictMarkup(judged.answer, rulebook, {
            outlet: body.check.outlet,
            where: body.check.where,
            notTested: body.not_tested,
            heading: "h2",
          })
        : failureMarkup(judged.failure, "h2")
    }
    <section class="reasons"><h2>What was entered</h2>${readings(body)}</section>
    ${plugIns.map(plugIn)}
    <section class="reasons"><h2>What was kept</h2><ol class="kept">${chain.map((row) =>
      kept(row, row === now, rulebook),
    )}</ol></section>
  `;
}

/** @param {Record<string, any>} body */
function readings({ check, ready }) {
  const rows = [
    ["Outlet", `${check.outlet}, ${SUPPLIES[check.supply ?? "utility"]}`],
    ["Breaker", check.breaker_amps ?? "not read"],
    ["Damage looked for", check.look ? check.look.join(", ") || "none seen" : "not looked for"],
    ...(check.hertz ? [["Frequency", check.hertz]] : []),
    ...setRows(check),
    ...(check.meter
      ? [
          [
            "Meter",
            `${meter(check.meter)}, ${ready.category ?? "category not known"}, ${
              ready.meter_proved ? "proved on a known source" : "not proved"
            }`,
          ],
        ]
      : []),
    ...(check.more ?? []).flatMap(moreRows),
    ...Object.entries(check.near ?? {}).map(([place, heard]) => [
      `Detector at ${NEAR[place]}`,
      heard ? "told voltage" : "silent",
    ]),
    ...Object.entries(check.continuity ?? {}).map(([pair, state]) => [CONTINUITIES[pair], state]),
    ...(check.trip ?? []).map((pressed) => [
      pressed.device === "upstream" ? "TEST and RESET upstream" : "TEST and RESET",
      trip(pressed),
    ]),
    ["Dry, no thunder", ready.dry ? "yes" : "not said"],
  ];
  return html`<dl class="readings">${rows.map(
    ([name, value]) => html`<div><dt>${name}</dt><dd>${value}</dd></div>`,
  )}</dl>`;
}

/** What one set holds: volts, lamps, and the volts under a load. */
function setRows({ volts, lamps, loaded }) {
  return [
    ...Object.entries(volts ?? {}).map(([pair, shown]) => [PAIRS[pair], shown]),
    ...Object.entries(lamps ?? {}).map(([pair, lamp]) => [`Lamp ${PAIRS[pair]}`, lamp]),
    ...(loaded ? loadRows(loaded) : []),
  ];
}

function loadRows({ across, amps, volts = {} }) {
  return [
    ["Load", `${amps}${across ? `, ${PAIRS[across]}` : ""}`],
    ...Object.entries(volts).map(([pair, shown]) => [`Under load, ${PAIRS[pair]}`, shown]),
  ];
}

function moreRows(set) {
  const what = [
    set.state === "as-found" ? "" : STATES[set.state],
    set.meter ? INPUTS[set.meter.input ?? "high-impedance"] : "",
  ]
    .filter(Boolean)
    .join(", ");
  return setRows(set).map(([name, value]) => [`${what || STATES["as-found"]}: ${name}`, value]);
}

const meter = ({ input, accuracy_percent, accuracy_volts }) =>
  [input ?? "high-impedance", `± ${accuracy_percent ?? "1.0 %"} ± ${accuracy_volts ?? "0.3 V"}`].join(", ");

const say = (value, yes, no, unknown) => (value === undefined || value === null ? unknown : value ? yes : no);

function trip({ tripped, face_dead, reset }) {
  const parts = [
    say(tripped, "tripped", "did not trip", "trip not tested"),
    say(face_dead, "face dead", "face stayed live", ""),
    say(reset, "reset", "did not reset", ""),
  ];
  return parts.filter(Boolean).join(", ");
}

/** @param {import("../outbox/queue.js").Row} row */
function plugIn(row) {
  const { skin, inside, tingle, judgement } = row.record.body;
  const read = !skin
    ? "not tested"
    : skin.by === "meter"
      ? skin.volts
      : say(skin.detected, "the detector showed it live", "the detector showed nothing", "");
  return html`<section class="reasons"><h2>After plugging in</h2>
    ${judgement.level === "stop" ? html`<p class="caution"><b>Stop:</b> breaker off, unplug.</p>` : ""}
    <dl class="readings"><div><dt>Skin to earth</dt><dd>${read}</dd></div>
    <div><dt>Volts inside</dt><dd>${inside ?? "not measured"}</dd></div>
    <div><dt>A tingle</dt><dd>${
      tingle ? "yes" : "none reported"
    }</dd></div></dl><p>${spoken(row.record.observed_at)} · ${savedMarkup(row)}</p></section>`;
}

/** What one record said then, and by which rules. */
function kept({ record, flags, hash }, isCurrent, rulebook) {
  const { verdict, rulebook: by } = record.body.judgement;
  const same = by === rulebook?.id ? "the rulebook of now" : "another rulebook than now";
  return html`<li>
    <p>${record.corrects ? html`<b>Correction:</b> ${record.reason}` : html`<b>First entry</b>`}</p>
    <p>${spoken(record.observed_at)}${
      record.made_by ? ` by ${record.made_by}` : ""
    }: it said <b>${rulebook?.words.verdicts[verdict]?.word ?? verdict}</b>, by
      ${same} <code>${by.slice(0, 19)}…</code></p>
    ${
      !isCurrent
        ? html`<details class="more"><summary>What was entered then</summary>${readings(record.body)}</details>`
        : ""
    }
    ${flags.map(({ detail }) => html`<p class="caution">${detail}</p>`)}
    <p class="fingerprint">Fingerprint <code>${hash.slice(0, 16)}…</code></p>
  </li>`;
}
