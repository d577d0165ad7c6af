import { loadDraft } from "../check/draft.js";
import { html, show } from "../lib/html.js";
import { dayOf, localIso } from "../lib/times.js";
import { dueOf } from "../outbox/due-rows.js";
import { allRows, changes } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { showBadge } from "../round/badge.js";
import { dueWords, isDue } from "../round/steps.js";
import { rigRules } from "../sync/rig-rules.js";

const SHOWN = 3;

/** What is due of every rig, gravest first; each leads into the round. The app's icon shows how many. */
export class FlDue extends HTMLElement {
  connectedCallback() {
    changes.addEventListener("changed", this);
    this.handleEvent();
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  async handleEvent() {
    const rules = await rigRules();
    if (!rules) return;
    const rigs = rigsOf(await allRows());
    const today = dayOf(localIso(new Date()));
    const items = rigs.map((rig) => dueOf(rig, rules.due, today).filter(isDue).map((item) => ({ rig, ...item })));
    const rounds = await Promise.all(rigs.map(async (rig) => ((await loadDraft(`round-${rig.id}`)) ? rig : null)));
    showBadge(items.flat().length);
    this.hidden = !items.flat().length && !rounds.some(Boolean);
    const [first, rest] = [items.flat().slice(0, SHOWN), items.flat().slice(SHOWN)];
    show(this.querySelector("[data-part=list]"), html`${ways(rigs.filter((rig, i) => rounds[i] || items[i].length), rounds)}
      ${list(first, rigs)}${rest.length ? html`<details class="more"><summary>${rest.length} more</summary>${list(rest, rigs)}</details>` : ""}`);
  }
}

const ways = (rigs, begun) => rigs.map((rig) => html`<p class="due-way"><a class="button button--quiet button--wide" href="/round#rig=${rig.id}">${begun.includes(rig) ? "Go on with the round" : "Begin the round"}: ${rig.name}</a></p>`);

const list = (items, rigs) => (items.length ? html`<ul class="due">${items.map((item) => card(item, rigs.length > 1))}</ul>` : "");

function card(item, areSeveral) {
  const { rig, thing } = item;
  const kind = { device: "device", outlet: "outlet", "outlet-loaded": "outlet" }[thing.what];
  return html`<li><a class="due-card" href="/round#rig=${rig.id}${kind ? `&${kind}=${thing.subject}` : ""}">
    <b>${thing.name}${areSeveral ? ` · ${rig.name}` : ""}</b> <span>${dueWords(item)}</span>
  </a></li>`;
}
