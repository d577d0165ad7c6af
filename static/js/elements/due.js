import { html, show } from "../lib/html.js";
import { dayOf, localIso } from "../lib/times.js";
import { allRows, changes } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { showBadge } from "../round/badge.js";
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
    const rigs = rigsOf(await allRows());
    const list = rigs.length ? await dueList() : async () => null;
    if (!list) return;
    const found = await list(rigs, rules.due, dayOf(localIso(new Date())));
    showBadge(found?.count ?? 0);
    this.hidden = !found;
    show(this.querySelector("[data-part=list]"), found?.content ?? html``);
  }
}

/** Gives the function that makes the list, null where it cannot be fetched: nothing is said then. */
async function dueList() {
  try {
    return (await import("../round/due-list.js")).dueList;
  } catch (error) {
    console.warn("The list of what is due could not be fetched.", error);
    return null;
  }
}
