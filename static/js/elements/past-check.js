import { settling } from "../check/conflict.js";
import { correctedBody, entryOf } from "../check/correction.js";

import { assess, broughtEngine, openRulebook } from "../check/engine.js";
import { questionAbout, textAt } from "../check/entries.js";
import { judge, judgementOf } from "../check/judge.js";
import { record } from "../check/log-record.js";
import { hasTwoLegs } from "../check/pairs.js";
import { pastMarkup } from "../check/past.js";
import { problemsOf } from "../check/problems.js";
import { groupsOf } from "../check/readings.js";
import { showWhen } from "../check/when.js";
import { fill, read, showProblems } from "../lib/fields.js";
import { fieldMarkup } from "../lib/fields-markup.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { uuid7 } from "../lib/uuid7.js";
import { chains, leaves } from "../outbox/chains.js";
import { allRows, changes, keep } from "../outbox/queue.js";
import { standing, sync } from "../sync/flush.js";
import { rulebook } from "../sync/rulebook.js";

/** @import { LogRecord, RecordArrivalCheck, RecordOutletTest } from "../../../schemas/shapes/record.d.ts" */
/** @import { Values } from "../check/entries.js" */
/** @import { Group } from "../check/readings.js" */
/** @import { Row } from "../outbox/rows.js" */
/** @typedef {ReturnType<typeof html>} Markup */

const CANNOT = html`<p class="empty">This check cannot be shown here. <a
  href="/phone">This phone’s page</a> says what stands in the way, as soon as the server has looked at it.</p>`;

/** One past check: what was read, what it was judged to be then and is now, and its corrections. */
export class FlPastCheck extends HTMLElement {
  /** @type {Row[]} */
  #chain = [];

  async connectedCallback() {
    for (const type of ["submit", "input", "click"]) this.addEventListener(type, this);
    changes.addEventListener("changed", this);
    await this.#load();
    if (!this.#chain.length) await sync().then(() => this.#load());
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent(event) {
    if (event.type === "changed") this.#load();
    else if (event.type === "input") this.#typed();
    else if (event.type === "submit") this.#submitted(event);
    else this.#tapped(/** @type {Element} */ (event.target));
  }

  async #load() {
    const id = location.pathname.split("/").at(-1);
    const rows = await allRows();
    this.#chain = chains(rows).find((chain) => chain.some((row) => row.id === id)) ?? [];
    if (this.#chain.length) await openRulebook();
    const place = partOf(this, "[data-part=check]");
    show(
      place,
      this.#chain.length
        ? this.#pageOr(rows, CANNOT)
        : html`<p class="empty">${
            standing.signedIn
              ? "There is no such check in your log."
              : "This phone does not hold this check. Sign in, and it comes here if it is yours."
          }</p>`,
    );
    this.querySelector("fl-photos")?.about(this.#chain.at(-1)?.id ?? null);
    partOf(this, "[data-part=correct]").hidden = !this.#chain.length;
  }

  /** What a file brought may lack what a page is drawn from. @param {Row[]} rows @param {Markup} otherwise */
  #pageOr(rows, otherwise) {
    try {
      return this.#page(rows);
    } catch (error) {
      console.warn(error);
      return otherwise;
    }
  }

  /** @param {Row[]} rows */
  #page(rows) {
    const ids = this.#chain.map(({ id }) => id);
    const plugIns = chains(rows).flatMap((chain) => {
      const { kind, subject } = chain[0]?.record ?? {};
      return kind === "plug-in" && ids.includes(subject ?? "") ? chain.slice(-1) : [];
    });
    const { subject, body } = this.#checked;
    const outlets = rows.flatMap(({ id, record: one }) =>
      one.kind === "outlet" && (id === subject || one.corrects === subject) ? [one] : [],
    );
    const judged = judge(() => body.check, rulebook(), assess);
    const book = rulebook();
    const now = { kind: this.#checked.kind, subject: subject ?? null, body, at: this.#last.record.observed_at };
    const before = book ? broughtEngine().beforeMarkup(rows, { ...now, id: this.#last.id }, book) : null;
    return pastMarkup({
      before: before ? html`${before.pointed}${before.rest}` : "",
      chain: this.#chain,
      leaves: leaves(this.#chain),
      plugIns,
      outlet: outlets.at(-1)?.body.name,
      judged,
      rulebook: rulebook(),
    });
  }

  get #last() {
    return /** @type {Row} */ (this.#chain.at(-1)); // asked only where there is a chain
  }

  get #checked() {
    return /** @type {RecordArrivalCheck|RecordOutletTest} */ (this.#last.record);
  }

  get #form() {
    return partOf(this, "form", HTMLFormElement);
  }

  /** @param {Element} target */
  async #tapped(target) {
    /** @type {HTMLElement|null} */
    const chosen = target.closest("[data-settle]");
    if (chosen) await this.#settle(chosen.dataset.settle ?? "");
    if (target.closest("[data-correct]")) this.#openCorrection();
  }

  #openCorrection() {
    const { body } = this.#checked;
    const values = entryOf(body);
    show(partOf(this, "[data-part=readings]"), groupMarkup(groupsOf(body.check)));
    fill(this.#form, /** @type {ReturnType<typeof read>} */ (values));
    this.#form.hidden = false;
    this.#showParts(values);
    partOf(this.#form, "h2").focus();
  }

  #typed() {
    const values = /** @type {Values} */ (read(this.#form));
    this.#showParts(values);
    /** @type {NodeListOf<HTMLElement>} */
    const questions = this.#form.querySelectorAll("[data-question]");
    for (const question of questions) {
      const { question: name = "" } = question.dataset;
      question.textContent = questionAbout(name, textAt(values, name)) ?? "";
    }
  }

  /** @param {Values} values */
  #showParts(values) {
    const { kind, body } = this.#checked;
    showWhen(this.#form, { ...values, ...{ kind }, legs: hasTwoLegs(body.check.outlet) ? "two" : "one" });
  }

  /** @param {Event} event */
  async #submitted(event) {
    event.preventDefault();
    const problems = problemsOf(this.#form);
    if (!Object.keys(problems).length) Object.assign(problems, await this.#correct());
    showProblems(this.#form, problems);
  }

  /** @returns {Promise<Record<string, string>>} what stands in the way, by field */
  async #correct() {
    const { corrected, problem } = this.#corrected(/** @type {Values} */ (read(this.#form)));
    if (!corrected) return { reason: problem };
    try {
      await keep(corrected, this.#last.account);
    } catch (error) {
      console.error(error);
      return { reason: "Not saved: the phone’s storage refused it. What you typed is still here; try again." };
    }
    this.#form.hidden = true;
    this.#form.reset();
    sync();
    return {};
  }

  /** Makes one of several corrections the one that counts. @param {string} id */
  async #settle(id) {
    const side = leaves(this.#chain);
    const chosen = side.find((row) => row.id === id);
    if (!chosen) return;
    const members = settling(chosen, side);
    const { check } = /** @type {RecordArrivalCheck|RecordOutletTest} */ (members).body;
    const judged = judge(() => check, rulebook(), assess);
    const body = judged.answer ? { ...members.body, judgement: judgementOf(judged.answer) } : members.body;
    try {
      await keep(record({ ...members, id: uuid7(), made_by: this.#by, body }), chosen.account);
      sync();
    } catch (error) {
      console.error(error);
      partOf(this, ".conflict").append(
        Object.assign(document.createElement("p"), {
          className: "problem",
          textContent: "Not saved: the phone’s storage refused it. Try again.",
        }),
      );
    }
  }

  /**
   * @param {Values} typed
   * @returns {{corrected: LogRecord, problem?: undefined}|{problem: string, corrected?: undefined}}
   */
  #corrected(typed) {
    const { body: old, also_corrects: _, ...kept } = this.#checked;
    const body = correctedBody(old, typed);
    const judged = judge(() => body.check, rulebook(), assess);
    if (!judged.answer) return { problem: judged.failure ?? "" };
    body.judgement = judgementOf(judged.answer);
    // What was observed was observed then; the server notes when the correction came.
    const corrected = record({
      ...kept,
      id: uuid7(),
      made_by: this.#by,
      body,
      corrects: this.#last.id,
      reason: textAt(typed, "reason").trim(),
    });
    return { corrected };
  }

  get #by() {
    return (standing.name ?? this.#last.record.made_by).slice(0, 80);
  }
}

/** @param {Group[]} groups */
function groupMarkup(groups) {
  return html`${groups.map(
    ({ title, readings }) => html`<section class="part"><h3>${title}</h3>${readings.map(fieldMarkup)}</section>`,
  )}`;
}
