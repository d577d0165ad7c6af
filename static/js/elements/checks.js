import { SIDE_BY_SIDE } from "../check/conflict.js";
import { loadDraft } from "../check/draft.js";
import { assess, broughtEngine, openRulebook } from "../check/engine.js";
import { judge } from "../check/judge.js";
import { isWorse } from "../check/worse-now.js";
import { AfterPaint } from "../lib/after-paint.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { spoken } from "../lib/times.js";
import { placeName, VERDICTS } from "../lib/words.js";
import { chains, leaves } from "../outbox/chains.js";
import { newestRows } from "../outbox/newest.js";
import { allRows, changes } from "../outbox/queue.js";
import { savedMarkup } from "../outbox/saved.js";
import { rulebook } from "../sync/rulebook.js";

/** @import { RecordArrivalCheck, RecordOutletTest } from "../../../schemas/shapes/record.d.ts" */
/** @import { Draft } from "../check/draft.js" */
/** @import { Row } from "../outbox/rows.js" */

/**
 * @typedef {{outlets: Map<string, string>, live: Set<string>}} ListContext names of outlets, and checks after which the
 *   skin was live
 */

const SHOWN = 50;

/** The past checks, newest first. */
export class FlChecks extends HTMLElement {
  #shown = SHOWN;

  connectedCallback() {
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    // What is kept is seen first; the rulebook only words it.
    this.#refresh().then(() => new AfterPaint().wait(() => openRulebook().then(() => this.#refresh())));
  }

  disconnectedCallback() {
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event */
  handleEvent({ type, target }) {
    if (type === "click" && !(/** @type {Element} */ (target).closest("[data-more]"))) return;
    if (type === "click") this.#shown += SHOWN;
    this.#refresh();
  }

  /** A store that does not open is not an empty one. */
  async #refresh() {
    try {
      await this.#draw();
    } catch (error) {
      console.error(error);
      show(
        partOf(this, "[data-part=checks]"),
        html`<p class="notice" role="alert">The checks on this phone cannot be shown now: ${
          /** @type {Error} */ (error).message
        } Nothing of them was changed.</p>`,
      );
    }
  }

  async #draw() {
    const all = chains(await (this.#shown > SHOWN ? allRows : newestRows)());
    /** @type {Map<string, string>} */
    const outlets = new Map();
    const live = new Set();
    for (const chain of all) {
      const { record } = /** @type {Row} */ (chain.at(-1));
      if (record.kind === "outlet") for (const { id } of chain) outlets.set(id, record.body.name);
      if (record.kind === "plug-in" && record.body.judgement?.level === "stop") live.add(record.subject);
    }
    const checks = all.filter((chain) => ["arrival-check", "outlet-test"].includes(firstOf(chain).record.kind));
    checks.sort((a, b) => (firstOf(a).record.observed_at < firstOf(b).record.observed_at ? 1 : -1));
    const draft = await loadDraft("arrive");
    show(partOf(this, "[data-part=checks]"), this.#list(checks, { outlets, live }));
    show(partOf(this, "[data-part=under-way]"), html`${recalled(checks, outlets)}${underWay(draft)}`);
  }

  /** @param {Row[][]} checks @param {ListContext} known */
  #list(checks, known) {
    if (!checks.length) return html`<p class="empty">No check has been kept on this phone yet.</p>`;
    return html`<ol class="checks">${checks.slice(0, this.#shown).map((chain) => item(chain, known))}</ol>
      ${
        checks.length > this.#shown
          ? html`<button type="button" class="button button--quiet" data-more>Show older checks</button>`
          : ""
      }`;
  }
}

/** A chain has at least its first record. @param {Row[]} chain */
const firstOf = (chain) => /** @type {Row} */ (chain[0]);

/**
 * One that cannot be drawn, as a file may have brought it, takes no other from the list.
 * @param {Row[]} chain
 * @param {ListContext} known
 */
function item(chain, known) {
  try {
    return card(chain, known);
  } catch (error) {
    console.warn(error);
    const { kind, observed_at: at } = firstOf(chain).record;
    return html`<li class="check-card"><span class="check-card__place">${
      kind === "outlet-test" ? "Outlet test" : "Arrival check"
    }: cannot be shown here. <a href="/phone">Look on this phone’s page</a></span>
      <span class="check-card__when">${at.slice(0, 16).replace("T", ", ")}</span></li>`;
  }
}

/**
 * Why an outlet is not to be used, as it is judged now; nothing while the rules are only on their way.
 * @param {RecordArrivalCheck["body"]|RecordOutletTest["body"]} body
 */
function reasonIn({ check, not_tested: notTested }) {
  const book = rulebook();
  const { answer } = book ? judge(() => check, book, assess) : { answer: undefined };
  return book && answer ? broughtEngine().reasonOf(answer, book, { outlet: check.outlet, notTested }) : "";
}

/**
 * What today's rules say of a check that stands as usable, where they judge it worse; nothing while they are on their
 * way.
 * @param {RecordArrivalCheck["body"]|RecordOutletTest["body"]} body
 */
function worseIn({ check, not_tested: notTested, judgement }) {
  const book = rulebook();
  if (!book || judgement.rulebook === book.id || !isWorse(judgement.verdict, null)) return "";
  const { answer, failure = "" } = judge(() => check, book, assess);
  if (!isWorse(judgement.verdict, answer?.verdict ?? null)) return "";
  const said = answer && `${VERDICTS[answer.verdict]}. `;
  return `By today’s rules: ${
    said ? said + broughtEngine().reasonOf(answer, book, { outlet: check.outlet, notTested }) : failure
  }`;
}

/**
 * The pedestal that was met last and the newest test of each outlet of a rig, where today's rules judge them worse.
 * @param {Row[][]} checks newest first
 * @param {Map<string, string>} outlets
 */
function recalled(checks, outlets) {
  const met = new Set();
  return checks.flatMap((chain) => {
    const { id, record } = /** @type {Row & {record: RecordArrivalCheck|RecordOutletTest}} */ (chain.at(-1));
    const name = record.kind === "outlet-test" ? (outlets.get(record.subject) ?? "") : "The last pedestal";
    if (met.has(name)) return [];
    met.add(name);
    const told = record.body.judgement ? worseIn(record.body) : "";
    return told
      ? [
          html`<p class="notice" role="alert" data-worse><b>${name}</b>: it said “${
            VERDICTS[record.body.judgement.verdict]
          }”. ${told} <a class="button button--quiet" href="/checks/${id}">Look at it</a></p>`,
        ]
      : [];
  });
}

/**
 * A skin found live after plugging in stands above what the outlet was judged to be before.
 * @param {Row[]} chain
 * @param {ListContext} known
 */
function card(chain, { outlets, live }) {
  const last = /** @type {Row} */ (chain.at(-1));
  const { id } = last;
  const record = /** @type {RecordArrivalCheck|RecordOutletTest} */ (last.record);
  const isLive = chain.some((row) => live.has(row.id));
  const verdict = isLive ? "do-not-use" : record.body.judgement.verdict;
  if (!verdict) throw new TypeError("a check without a verdict");
  const isForbidden = verdict === "do-not-use" && !isLive;
  const place =
    record.kind === "outlet-test"
      ? `In the rig: ${outlets.get(record.subject) ?? "an outlet"}`
      : placeName(record.body.place);
  return html`<li><a class="check-card" href="/checks/${id}" data-verdict="${verdict}">
    <svg class="check-card__shape" aria-hidden="true"><use href="/static/shapes.svg#${verdict}"></use></svg>
    <span class="check-card__word">${VERDICTS[verdict] ?? "Not known"}</span>
    ${isForbidden ? html`<span class="check-card__place">${reasonIn(record.body)}</span>` : ""}
    ${isLive ? html`<span class="check-card__place">After plugging in the rig’s skin was live.</span>` : ""}
    ${leaves(chain).length > 1 ? html`<span class="check-card__place"><b>${SIDE_BY_SIDE}.</b></span>` : ""}
    <span class="check-card__place">${place} · <span class="whole">${record.body.check.outlet}</span></span>
    <span class="check-card__when">${spoken(firstOf(chain).record.observed_at)}${
      chain.length > 1 ? changed(chain) : ""
    }</span>
    <span class="check-card__when">${savedMarkup(last)}</span>
  </a></li>`;
}

/** An added test is no correction of what was read. @param {Row[]} chain */
function changed(chain) {
  const isAdded = chain.slice(1).every((row) => (row.record.reason ?? "").startsWith("Test added:"));
  return isAdded ? " · test added" : " · corrected";
}

/** @type {Record<string, string>} What the check under way waits for, by its screen. */
const AFTER = {
  verdict: "judged, nothing plugged in yet. Go on",
  plug: "judged. Go on: plug in",
  skin: "plugged in. Go on: read the rig’s skin before you touch it",
  unplug: "the skin was live. What to do",
  inside: "plugged in. Go on: read the volts inside",
  done: "plugged in. Go on: feel the plug",
};

/** @param {Draft|undefined} draft */
function underWay(draft) {
  if (!draft) return html``;
  const judged = draft.saved["arrival-check"];
  if (!judged && !draft.reached) return html``;
  const place = placeName({ park: draft.values["place.park"], site: draft.values["place.site"] });
  return html`<a class="button button--quiet button--wide" href="/arrive#${draft.step}">${place}: ${
    (judged && AFTER[draft.step]) || "go on with the check"
  }</a>`;
}
