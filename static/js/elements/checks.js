import { SIDE_BY_SIDE } from "../check/conflict.js";
import { loadDraft } from "../check/draft.js";
import { openRulebook } from "../check/engine.js";
import { AfterPaint } from "../lib/after-paint.js";
import { html, show } from "../lib/html.js";
import { spoken } from "../lib/times.js";
import { placeName } from "../lib/words.js";
import { chains, current, leaves } from "../outbox/chains.js";
import { allRows, changes } from "../outbox/queue.js";
import { savedMarkup } from "../outbox/saved.js";
import { rulebook } from "../sync/rulebook.js";

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

  handleEvent(event) {
    if (event.type === "click" && !event.target.closest("[data-more]")) return;
    if (event.type === "click") this.#shown += SHOWN;
    this.#refresh();
  }

  async #refresh() {
    const rows = await allRows();
    const outlets = new Map(
      current(rows)
        .filter(({ record }) => record.kind === "outlet")
        .flatMap((row) => chainIds(rows, row).map((id) => [id, row.record.body.name])),
    );
    const checks = chains(rows).filter(([{ record }]) => ["arrival-check", "outlet-test"].includes(record.kind));
    checks.sort((a, b) => (a[0].record.observed_at < b[0].record.observed_at ? 1 : -1));
    const draft = await loadDraft("arrive");
    const live = new Set(
      current(rows)
        .filter(({ record }) => record.kind === "plug-in" && record.body.judgement?.level === "stop")
        .map(({ record }) => record.subject),
    );
    show(this.querySelector("[data-part=list]"), this.#list(checks, { outlets, live }));
    show(this.querySelector("[data-part=under-way]"), underWay(draft));
  }

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

const chainIds = (rows, row) =>
  chains(rows)
    .find((chain) => chain.includes(row))
    .map(({ id }) => id);

/** One that cannot be drawn, as a file may have brought it, takes no other from the list. */
function item(chain, known) {
  try {
    return card(chain, known);
  } catch (error) {
    console.warn(error);
    const { kind, observed_at: at } = chain[0].record;
    return html`<li class="check-card"><span class="check-card__place">${
      kind === "outlet-test" ? "Outlet test" : "Arrival check"
    }: cannot be shown here. <a href="/phone">Look on this phone’s page</a></span>
      <span class="check-card__when">${at.slice(0, 16).replace("T", ", ")}</span></li>`;
  }
}

/** A skin found live after plugging in stands above what the outlet was judged to be before. */
function card(chain, { outlets, live }) {
  const { id, record } = chain.at(-1);
  const isLive = chain.some((row) => live.has(row.id));
  const verdict = isLive ? "do-not-use" : record.body.judgement.verdict;
  if (!verdict) throw new TypeError("a check without a verdict");
  const place =
    record.kind === "outlet-test"
      ? `In the rig: ${outlets.get(record.subject) ?? "an outlet"}`
      : placeName(record.body.place);
  return html`<li><a class="check-card" href="/checks/${id}" data-verdict="${verdict}">
    <svg class="check-card__shape" aria-hidden="true"><use href="/static/shapes.svg#${verdict}"></use></svg>
    <span class="check-card__word">${rulebook()?.words.verdicts[verdict]?.word ?? verdict}</span>
    ${isLive ? html`<span class="check-card__place">After plugging in the rig’s skin was live.</span>` : ""}
    ${leaves(chain).length > 1 ? html`<span class="check-card__place"><b>${SIDE_BY_SIDE}.</b></span>` : ""}
    <span class="check-card__place">${place} · <span class="whole">${record.body.check.outlet}</span></span>
    <span class="check-card__when">${spoken(chain[0].record.observed_at)}${
      chain.length > 1 ? changed(chain) : ""
    }</span>
    <span class="check-card__when">${savedMarkup(chain.at(-1))}</span>
  </a></li>`;
}

/** An added test is no correction of what was read. */
function changed(chain) {
  const isAdded = chain.slice(1).every((row) => (row.record.reason ?? "").startsWith("Test added:"));
  return isAdded ? " · test added" : " · corrected";
}

function underWay(draft) {
  if (!draft) return html``;
  const judged = draft.saved["arrival-check"];
  if (!judged && !draft.reached) return html``;
  return html`<a class="button button--quiet" href="/arrive#${draft.step}">${
    judged ? "Go on after the verdict" : "Go on with the check under way"
  }: ${placeName({ park: draft.values["place.park"], site: draft.values["place.site"] })}</a>`;
}
