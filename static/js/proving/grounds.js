import { html } from "../lib/html.js";
import { rigsOf } from "../rig/rig-of.js";
import { groundsMarkup, rigsMarkup } from "./grounds-overview.js";
import { groundRules, groundsOf } from "./grounds-progress.js";
import { overviewActions } from "./overview.js";
import { NO_RULES, Stepwise } from "./stepwise.js";

/** @import { RigRules } from "../../../schemas/shapes/rig-rules.d.ts" */
/** @import { Row } from "../outbox/rows.js" */
/** @import { Progress } from "../rig/proving.js" */
/** @import { Rig } from "../rig/rig-of.js" */

/** The grounds of a rig, shown without a change: the list of steps, or the one that the address names. */
export class FlGrounds extends Stepwise {
  /** @type {Rig[]} */
  #rigs = [];

  /** @returns {string|null} the rig that the address names */
  get #rig() {
    return new URLSearchParams(location.hash.slice(1)).get("rig");
  }

  /** @override */
  get subject() {
    return null;
  }

  /** @override */
  get ownPage() {
    return `grounds-${this.#rig ?? ""}`;
  }

  /** @override @param {Row[]} rows @param {RigRules|null} rules */
  progressIn(rows, rules) {
    this.#rigs = rigsOf(rows);
    return this.#hasRules(rules) && this.#rig ? groundsOf(rows, this.#rig, rules, Date.now()) : null;
  }

  /** @override @param {Progress} progress */
  listMarkup(progress) {
    return groundsMarkup(progress);
  }

  /** @override @param {Progress} progress */
  listActions(progress) {
    return overviewActions(progress, progress.steps.length ? "Leave it: not every ground is shown" : "Leave it");
  }

  /** @override */
  absentMarkup() {
    return this.#hasRules(this.rules)
      ? rigsMarkup(this.#rigs)
      : html`<h1 tabindex="-1">Showing the grounds</h1><p class="notice">${NO_RULES}</p>`;
  }

  /** @param {RigRules|null} rules @returns {rules is RigRules} */
  #hasRules(rules) {
    return rules !== null && groundRules(rules.proving).length > 0;
  }
}
