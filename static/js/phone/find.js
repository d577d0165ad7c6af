// Finding a record on this phone; it is brought once somebody looks for one.
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { VERDICTS } from "../lib/words.js";
import { chains } from "../outbox/chains.js";
import { newestRows } from "../outbox/newest.js";
import { allRows } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { KINDS } from "./kinds.js";
import { kindOf, placeOf, whenOf } from "./naming.js";
import { finds } from "./query.js";

/** @import { Row } from "../outbox/rows.js" */
/** @import { Query } from "./query.js" */

const SHOWN = 50;

/** @param {[string, string][]} names by value */
const options = (names) =>
  html`<option value="">Any${names.map(([value, name]) => html`<option value="${value}">${name}`)}`;

/** @param {HTMLElement} place with its form @param {boolean} isAsked */
export async function search(place, isAsked) {
  const kind = partOf(place, "[name=kind]");
  if (!kind.children.length) {
    show(kind, options(Object.entries(KINDS)));
    show(partOf(place, "[name=rig]"), options(rigsOf(await newestRows()).map(({ id, name }) => [id, name])));
  }
  if (!isAsked) return;
  const typed = Object.fromEntries(new FormData(partOf(place, "form", HTMLFormElement)));
  const rows = await allRows();
  const query = { words: "", kind: "", verdict: "", first: "", last: "", flag: "", rig: "", ...typed };
  show(partOf(place, "[data-part=found]"), foundMarkup(rows, found(rows, query)));
}

/** @param {Row[]} rows @param {Query} query @returns {Row[]} what counts of each chain, newest first */
export function found(rows, query) {
  const counts = chains(rows).map((chain) => /** @type {[Row, Row]} */ ([chain[0], chain.at(-1)]));
  const names = new Map(
    counts.flatMap(([{ id }, { record }]) =>
      ["outlet", "device", "rig"].includes(record.kind) ? [[id, String(/** @type {any} */ (record.body).name)]] : [],
    ),
  );
  return counts
    .map(([, row]) => row)
    .filter((row) => finds(row, [names.get(row.record.subject ?? "") ?? "", KINDS[row.record.kind] ?? ""], query))
    .sort((a, b) => Date.parse(b.record.observed_at) - Date.parse(a.record.observed_at));
}

/** @param {Row[]} rows all @param {Row[]} all what was found */
const foundMarkup = (rows, all) =>
  html`<h2><span role="status">${all.length || "None"} found${
    all.length > SHOWN ? `; the newest ${SHOWN} stand here` : ""
  }</span></h2><ol class="tray">${all.slice(0, SHOWN).map((row) => item(row, rows))}</ol>`;

/** @param {Row} row @param {Row[]} rows */
function item({ id, record, flags }, rows) {
  const place = placeOf(record, rows);
  const verdict = /** @type {any} */ (record.body).judgement?.verdict;
  return html`<li class="tray__card tray__card--found"><h3>${kindOf(record)}${place ? `: ${place}` : ""}</h3>
    <p class="tray__when">${VERDICTS[verdict] ? `${VERDICTS[verdict]}, ` : ""}${whenOf(record)}</p>
    ${flags.map(({ detail }) => html`<p class="caution">${detail}</p>`)}
    ${
      ["arrival-check", "outlet-test"].includes(record.kind)
        ? html`<p><a class="button button--quiet" href="/checks/${id}">Open it</a></p>`
        : html`<details class="more"><summary>All of it</summary><pre class="text">${JSON.stringify(
            record.body,
            null,
            1,
          )}</pre></details>`
    }</li>`;
}
