import { settling } from "../check/conflict.js";
import { correctedBody, entryOf } from "../check/correction.js";
import { assess, openRulebook } from "../check/engine.js";
import { questionAbout } from "../check/entries.js";
import { judge, judgementOf } from "../check/judge.js";
import { hasTwoLegs } from "../check/pairs.js";
import { pastMarkup } from "../check/past.js";
import { problemsOf } from "../check/problems.js";
import { groupsOf } from "../check/readings.js";
import { record } from "../check/record.js";
import { showWhen } from "../check/when.js";
import { fill, read, showProblems } from "../lib/fields.js";
import { fieldMarkup } from "../lib/fields-markup.js";
import { html, show } from "../lib/html.js";
import { uuid7 } from "../lib/uuid7.js";
import { chains, leaves } from "../outbox/chains.js";
import { allRows, changes, keep } from "../outbox/queue.js";
import { standing, sync } from "../sync/flush.js";
import { rulebook } from "../sync/rulebook.js";

const CANNOT = html`<p class="empty">This check cannot be shown here. <a
  href="/phone">This phone’s page</a> says what stands in the way, as soon as the server has looked at it.</p>`;

/** One past check: what was read, what it was judged to be then and is now, and its corrections. */
export class FlPastCheck extends HTMLElement {
  /** @type {import("../outbox/queue.js").Row[]} */
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

  handleEvent(event) {
    if (event.type === "changed") this.#load();
    else this[`on${event.type}`](event);
  }

  async #load() {
    const id = location.pathname.split("/").at(-1);
    const rows = await allRows();
    this.#chain = chains(rows).find((chain) => chain.some((row) => row.id === id)) ?? [];
    if (this.#chain.length) await openRulebook();
    const place = this.querySelector("[data-part=check]");
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
    this.querySelector("fl-photos").about(this.#chain.at(-1)?.id ?? null);
    this.querySelector("[data-part=correct]").hidden = !this.#chain.length;
  }

  /** What a file brought may lack what a page is drawn from. */
  #pageOr(rows, otherwise) {
    try {
      return this.#page(rows);
    } catch (error) {
      console.warn(error);
      return otherwise;
    }
  }

  #page(rows) {
    const ids = this.#chain.map(({ id }) => id);
    const plugIns = chains(rows)
      .filter(([first]) => first.record.kind === "plug-in" && ids.includes(first.record.subject))
      .map((chain) => chain.at(-1));
    const outlet = rows
      .filter(
        (row) =>
          row.record.kind === "outlet" &&
          (row.id === this.#last.record.subject || row.record.corrects === this.#last.record.subject),
      )
      .at(-1);
    const judged = judge(() => this.#last.record.body.check, rulebook(), assess);
    return pastMarkup({
      chain: this.#chain,
      leaves: leaves(this.#chain),
      plugIns,
      outlet: outlet?.record.body.name,
      judged,
      rulebook: rulebook(),
    });
  }

  get #last() {
    return this.#chain.at(-1);
  }

  get #form() {
    return this.querySelector("form");
  }

  async onclick({ target }) {
    if (target.closest("[data-settle]")) await this.#settle(target.closest("[data-settle]").dataset.settle);
    if (target.closest("[data-correct]")) this.#openCorrection();
  }

  #openCorrection() {
    const { body } = this.#last.record;
    const values = entryOf(body);
    show(this.querySelector("[data-part=readings]"), groupMarkup(groupsOf(body.check)));
    fill(this.#form, values);
    this.#form.hidden = false;
    this.#showParts(values);
    this.#form.querySelector("h2").focus();
  }

  oninput() {
    const values = read(this.#form);
    this.#showParts(values);
    for (const question of this.#form.querySelectorAll("[data-question]"))
      question.textContent = questionAbout(question.dataset.question, values[question.dataset.question] ?? "") ?? "";
  }

  #showParts(values) {
    const { kind, body } = this.#last.record;
    showWhen(this.#form, { ...values, kind, legs: hasTwoLegs(body.check.outlet) ? "two" : "one" });
  }

  async onsubmit(event) {
    event.preventDefault();
    const problems = problemsOf(this.#form);
    if (!Object.keys(problems).length) Object.assign(problems, await this.#correct());
    showProblems(this.#form, problems);
  }

  /** @returns {Promise<Record<string, string>>} what stands in the way, by field */
  async #correct() {
    const corrected = this.#corrected(read(this.#form));
    if (corrected.problem) return { reason: corrected.problem };
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

  /** Makes one of several corrections the one that counts. */
  async #settle(id) {
    const side = leaves(this.#chain);
    const chosen = side.find((row) => row.id === id);
    if (!chosen) return;
    const members = settling(chosen, side);
    const judged = judge(() => members.body.check, rulebook(), assess);
    const body = judged.answer ? { ...members.body, judgement: judgementOf(judged.answer) } : members.body;
    try {
      await keep(record({ ...members, id: uuid7(), made_by: this.#by, body }), chosen.account);
      sync();
    } catch (error) {
      console.error(error);
      this.querySelector(".conflict").append(
        Object.assign(document.createElement("p"), {
          className: "problem",
          textContent: "Not saved: the phone’s storage refused it. Try again.",
        }),
      );
    }
  }

  #corrected(typed) {
    const { body: old, also_corrects: _, ...kept } = this.#last.record;
    const body = correctedBody(old, typed);
    const judged = judge(() => body.check, rulebook(), assess);
    if (!judged.answer) return { problem: judged.failure };
    body.judgement = judgementOf(judged.answer);
    // What was observed was observed then; the server notes when the correction came.
    return record({
      ...kept,
      id: uuid7(),
      made_by: this.#by,
      body,
      corrects: this.#last.id,
      reason: typed.reason.trim(),
    });
  }

  get #by() {
    return (standing.name ?? this.#last.record.made_by).slice(0, 80);
  }
}

/** @param {import("../check/readings.js").Group[]} groups */
function groupMarkup(groups) {
  return html`${groups.map(
    ({ title, readings }) => html`<section class="part"><h3>${title}</h3>${readings.map(fieldMarkup)}</section>`,
  )}`;
}
