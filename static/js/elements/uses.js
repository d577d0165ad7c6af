import { get } from "../outbox/db.js";
import { newestRows } from "../outbox/newest.js";
import { changes } from "../outbox/queue.js";
import { rigsOf } from "../rig/rig-of.js";
import { waysFor } from "../rig/ways.js";
import { standing } from "../sync/flush.js";

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
    const rigs = rigsOf(await newestRows().catch(() => []));
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
