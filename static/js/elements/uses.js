import { get } from "../outbox/db.js";
import { allRows, changes } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { standing } from "../sync/flush.js";

/** @typedef {{href: string, note?: string}} Way */

/** What the app is used for; each use leads to its first step, or to what must come first, and then says so. */
export class FlUses extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
    changes.addEventListener("changed", this);
    this.handleEvent();
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
    changes.removeEventListener("changed", this);
  }

  async handleEvent() {
    const rigs = rigsOf(await allRows().catch(() => []));
    const account = standing.signedIn || (await get("kept", "account").catch(() => null));
    const ways = waysFor(
      rigs.map(({ id }) => id),
      Boolean(account),
    );
    /** @type {NodeListOf<HTMLAnchorElement>} */
    const links = this.querySelectorAll("a[data-use]");
    for (const link of links) {
      const way = ways[link.dataset.use ?? ""];
      /** @type {HTMLElement|null} */
      const note = link.querySelector("[data-part=note]");
      if (!way || !note) continue;
      link.setAttribute("href", way.href);
      note.dataset.usual ??= note.textContent ?? "";
      note.textContent = way.note ?? note.dataset.usual;
    }
  }
}

/**
 * @param {string[]} rigs on this phone
 * @param {boolean} hasAccount whether somebody is signed in, or was before the server was lost
 * @returns {Record<string, Way>} by use; one that needs nothing first is not among them
 */
export function waysFor(rigs, hasAccount) {
  const [only] = rigs;
  if (!only) {
    const first = hasAccount
      ? { href: "/rigs/new", note: "First note your rig." }
      : { href: "/sign-in?next=/rigs/new", note: "First sign in and note your rig." };
    return { round: first, change: first, record: first };
  }
  const isOne = rigs.length === 1;
  return {
    round: { href: isOne ? `/round#rig=${only}` : "/round" },
    change: { href: isOne ? `/changes/new#rig=${only}` : "/changes/new" },
    record: { href: isOne ? `/rigs/${only}/record` : "/rigs" },
  };
}
