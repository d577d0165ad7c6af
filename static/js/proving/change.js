import { openRulebook } from "../check/engine.js";
import { html } from "../lib/html.js";
import { progressOf } from "../rig/proving.js";
import { standing } from "../sync/flush.js";
import { overviewActions, overviewMarkup } from "./overview.js";
import { NO_RULES, Stepwise } from "./stepwise.js";

/** One change: the list of its proofs, or the step that the address names. */
export class FlChange extends Stepwise {
  /** A test under load is judged once more by the rulebook; until that is here it decides nothing. */
  async connectedCallback() {
    await super.connectedCallback();
    await openRulebook();
    await this.onchanged();
  }

  get subject() {
    return location.pathname.split("/").at(-1);
  }

  get ownPage() {
    return `changes/${this.subject}`;
  }

  progressIn(rows, rules) {
    return rules && progressOf(rows, this.subject, rules.proving);
  }

  listMarkup(progress) {
    return overviewMarkup(progress);
  }

  listActions(progress) {
    return overviewActions(progress, "Leave it: not proved");
  }

  absentMarkup() {
    const why = standing.signedIn
      ? "There is no such change in your log."
      : "This phone does not hold this change. Sign in, and it comes here if it is yours.";
    return html`<h1 tabindex="-1">Proving a change</h1><p class="notice">${this.rules ? why : NO_RULES}</p>`;
  }
}
