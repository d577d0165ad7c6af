import { partOf } from "../lib/part-of.js";
import { get } from "../outbox/db.js";
import { standing } from "../sync/flush.js";

/** Says who is signed in; without the server, whose log is on this phone. */
export class FlSession extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
  }

  async handleEvent() {
    const here = standing.signedIn ? null : await get("kept", "account").catch(() => null);
    // As it stands now: what was asked first may be answered last. Whose log is here counts without the server only.
    const name = standing.signedIn ? standing.name : (!standing.reached && here) || null;
    const link = partOf(this, "a", HTMLAnchorElement);
    link.textContent = name ?? "Sign in";
    // The page of the account is made by the server; without it the phone's own says what is here.
    link.href = standing.signedIn ? "/account" : name ? "/phone" : "/sign-in";
    link.ariaLabel = name && `${name}: ${standing.signedIn ? "your account" : "log on this phone"}`;
  }
}
