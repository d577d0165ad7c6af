// What is due of every rig, as the first page lists it.
import { loadDraft } from "../check/draft.js";
import { html } from "../lib/html.js";
import { dueOf } from "../rig/due.js";
import { dueWords, isDue } from "./steps.js";

const SHOWN = 3;

/**
 * @param {import("../rig/rig-of.js").Rig[]} rigs
 * @param {Record<string, any>[]} rules entries of the table of what comes round
 * @param {string} today
 * @returns {Promise<{count: number, content: any}|null>} gravest first; null where nothing is due and no round was
 *   begun
 */
export async function dueList(rigs, rules, today) {
  const items = rigs.map((rig) =>
    dueOf(rig, rules, today)
      .filter(isDue)
      .map((item) => ({ rig, ...item })),
  );
  const rounds = await Promise.all(rigs.map(async (rig) => ((await loadDraft(`round-${rig.id}`)) ? rig : null)));
  const all = items.flat().sort((a, b) => gravity(a) - gravity(b));
  if (!all.length && !rounds.some(Boolean)) return null;
  const [first, rest] = [all.slice(0, SHOWN), all.slice(SHOWN)];
  const content = html`${ways(
    rigs.filter((_, i) => rounds[i] || items[i].length),
    rounds,
  )}
    ${list(first, rigs)}${
      rest.length ? html`<details class="more"><summary>${rest.length} more</summary>${list(rest, rigs)}</details>` : ""
    }`;
  return { count: all.length, content };
}

/** What failed comes first, then the devices: many outlets hang on one of them. */
const gravity = ({ standing, thing }) => (standing === "failed" ? 0 : thing.what === "device" ? 1 : 2);

const ways = (rigs, begun) =>
  rigs.map(
    (rig) =>
      html`<p class="due-way"><a class="button button--quiet button--wide" href="/round#rig=${rig.id}">${
        begun.includes(rig) ? "Go on with the round" : "Begin the round"
      }: ${rig.name}</a></p>`,
  );

const list = (items, rigs) =>
  items.length ? html`<ul class="due">${items.map((item) => card(item, rigs.length > 1))}</ul>` : "";

function card(item, areSeveral) {
  const { rig, thing } = item;
  const kind = { device: "device", outlet: "outlet", "outlet-loaded": "outlet" }[thing.what];
  return html`<li><a class="due-card" href="/round#rig=${rig.id}${kind ? `&${kind}=${thing.subject}` : ""}">
    <b>${thing.name}${areSeveral ? ` · ${rig.name}` : ""}</b> <span>${dueWords(item)}</span>
  </a></li>`;
}
