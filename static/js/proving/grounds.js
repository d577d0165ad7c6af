import { html } from "../lib/html.js";
import { rigsOf } from "../rig/rig-of.js";
import { groundsMarkup, rigsMarkup } from "./grounds-overview.js";
import { groundRules, groundsOf } from "./grounds-progress.js";
import { overviewActions } from "./overview.js";
import { NO_RULES, Stepwise } from "./stepwise.js";

/** The grounds of a rig, shown without a change: the list of steps, or the one that the address names. */
export class FlGrounds extends Stepwise {
  /** @type {import("../rig/rig-of.js").Rig[]} */
  #rigs = [];

  /** @returns {string|null} the rig that the address names */
  get #rig() {
    return new URLSearchParams(location.hash.slice(1)).get("rig");
  }

  get subject() {
    return null;
  }

  get ownPage() {
    return `grounds-${this.#rig ?? ""}`;
  }

  progressIn(rows, rules) {
    this.#rigs = rigsOf(rows);
    return this.#hasRules(rules) && this.#rig ? groundsOf(rows, this.#rig, rules, Date.now()) : null;
  }

  listMarkup(progress) {
    return groundsMarkup(progress);
  }

  listActions(progress) {
    return overviewActions(progress, progress.steps.length ? "Leave it: not every ground is shown" : "Leave it");
  }

  absentMarkup() {
    return this.#hasRules(this.rules)
      ? rigsMarkup(this.#rigs)
      : html`<h1 tabindex="-1">Showing the grounds</h1><p class="notice">${NO_RULES}</p>`;
  }

  #hasRules(rules) {
    return Boolean(rules) && groundRules(rules.proving).length > 0;
  }
}
