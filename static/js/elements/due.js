import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { dayOf, localIso } from "../lib/times.js";
import { newestRows } from "../outbox/newest.js";
import { changes } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { showBadge } from "../round/badge.js";
import { dueList } from "../round/due-list.js";
import { rigRules } from "../sync/rig-rules.js";

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
    const found = await dueList(rigsOf(await newestRows()), rules.due, dayOf(localIso(new Date())), rules.incidents);
    showBadge(found?.count ?? 0);
    this.hidden = !found;
    partOf(this, "[data-part=count]").textContent = found?.count ? `: ${found.count}` : "";
    show(partOf(this, "[data-part=list]"), found?.content ?? html``);
  }
}
