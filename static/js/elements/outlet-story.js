import { assess, openRulebook } from "../check/engine.js";
import { judge } from "../check/judge.js";
import { AfterPaint } from "../lib/after-paint.js";
import { html, show } from "../lib/html.js";
import { newestRows } from "../outbox/newest.js";
import { changes } from "../outbox/rows.js";
import { storyMarkup, storyOf, unprovedMarkup } from "../rig/story.js";
import { sync } from "../sync/flush.js";
import { rigRules } from "../sync/rig-rules.js";
import { rulebook } from "../sync/rulebook.js";

/** @import { Check } from "../../../schemas/shapes/record.d.ts" */
/** @import { RigRules } from "../../../schemas/shapes/rig-rules.d.ts" */

/**
 * The story of the outlet in the address; "fl-test" says that it is to be tested now, "fl-story" what stands beside
 * its verdict.
 */
export class FlOutletStory extends HTMLElement {
  #outlet = (location.pathname.split("/").at(-1) ?? "").toLowerCase();
  #shown = "";
  /** @type {RigRules|null} */
  #rules = null;
  /** @type {Map<string, number|null>} */
  #ohms = new Map();

  async connectedCallback() {
    this.addEventListener("click", this);
    changes.addEventListener("changed", this);
    if (!(await this.#refresh())) await sync().then(() => this.#refresh());
    // What is kept is seen first; the rules word it and tell what is still to be proved.
    new AfterPaint().wait(async () => {
      [this.#rules] = await Promise.all([rigRules(), openRulebook()]);
      this.#refresh();
    });
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "changed") this.#refresh();
    else if (/** @type {Element} */ (target).closest("[data-test]"))
      this.dispatchEvent(new Event("fl-test", { bubbles: true }));
  }

  /** @returns {Promise<boolean>} whether the outlet is on this phone */
  async #refresh() {
    const story = storyOf(await newestRows(), this.#outlet, this.#rules);
    const by = {
      rules: this.#rules,
      /** @param {string} verdict */
      wordOf: (verdict) => {
        const words = /** @type {Record<string, {word: string}>|undefined} */ (rulebook()?.words.verdicts);
        return words?.[verdict]?.word ?? verdict;
      },
      /** @param {Check} check */
      ohmsOf: (check) => this.#ohmsOf(check),
    };
    const page = story ? storyMarkup(story, by) : UNKNOWN;
    if (page.text === this.#shown) return Boolean(story);
    show(this, page);
    this.#shown = page.text;
    this.dispatchEvent(
      new CustomEvent("fl-story", { bubbles: true, detail: html`${story ? unprovedMarkup(story) : ""}` }),
    );
    return Boolean(story);
  }

  /** The rulebook says from which load on volts tell of ohms. @param {Check} check @returns {number|null} */
  #ohmsOf(check) {
    if (!rulebook()) return null;
    const key = JSON.stringify(check);
    if (!this.#ohms.has(key)) this.#ohms.set(key, judge(() => check, rulebook(), assess).answer?.supply?.ohms ?? null);
    return this.#ohms.get(key) ?? null;
  }
}

const UNKNOWN = html`<p class="notice">This outlet is not on this phone. Sign in to the account that holds it.</p>`;
