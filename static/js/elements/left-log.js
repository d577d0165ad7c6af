import { partOf } from "../lib/part-of.js";
import { get } from "../outbox/db.js";
import { standing } from "../sync/flush.js";

/**
 * Says whose log this phone still shows although the server has nobody signed in here, as where a session was ended
 * elsewhere or has run out. Its words stand in the page, and lead to where the log is locked or taken off. It stays
 * as long as its page.
 */
export class FlLeftLog extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
  }

  async handleEvent() {
    const name = await get("kept", "account").catch(() => null);
    this.hidden = !name || !standing.reached || standing.signedIn;
    partOf(this, "b").textContent = name ?? "";
  }
}
