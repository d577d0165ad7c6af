import { html, show } from "../lib/html.js";
import { dayOf, localIso, spokenDay } from "../lib/times.js";
import { dueDevices } from "../outbox/due-devices.js";
import { allRows, changes } from "../outbox/queue.js";

/** The rig's trip tests that are due, overdue or were never made. */
export class FlDue extends HTMLElement {
  connectedCallback() {
    changes.addEventListener("changed", this);
    this.handleEvent();
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  async handleEvent() {
    const waiting = dueDevices(await allRows(), dayOf(localIso(new Date())));
    this.hidden = !waiting.length;
    show(this.querySelector("[data-part=list]"), html`<ul class="due">${waiting.map(item)}</ul>`);
  }
}

function item({ id, record, next, state, failed }) {
  return html`<li><a class="due-card" href="/rigs/${record.rig}/devices/${id}/trip-tests/new">
    <b>${record.body.name}</b> <span>${failed ? "did not trip at its last test" : words(state, next)}</span>
  </a></li>`;
}

function words(state, next) {
  if (state === "never") return "never tested";
  return state === "today" ? "trip test due today" : `trip test overdue since ${spokenDay(next)}`;
}
