import { html, show } from "../lib/html.js";
import { get } from "../outbox/db.js";
import { standing } from "../sync/flush.js";

/**
 * Says whose log this phone still shows although the server has nobody signed in here, as where a session was ended
 * elsewhere or has run out; and leads to where it is locked or taken off.
 */
export class FlLeftLog extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
  }

  async handleEvent() {
    const here = standing.signedIn ? null : await get("kept", "account").catch(() => null);
    const name = standing.reached && !standing.signedIn ? here : null;
    const isSame = this.dataset.of === (name ?? "");
    this.hidden = !name;
    this.dataset.of = name ?? "";
    if (!name || isSame) return;
    show(
      this,
      html`<p>Nobody is signed in here now, yet this phone still shows the log of <b>${name}</b>.</p>
        <p class="left-log__ways"><a class="button button--quiet" href="/sign-out">Lock it or take it off</a>
        <a class="button button--quiet" href="/sign-in">Sign in</a></p>`,
    );
  }
}
