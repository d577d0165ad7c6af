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
    const name = standing.signedIn ? standing.name : standing.reached ? null : here;
    const link = partOf(this, "a", HTMLAnchorElement);
    link.textContent = name ?? "Sign in";
    // The page of the account is made by the server; without it the phone's own says what is here.
    link.href = standing.signedIn ? "/account" : name ? "/phone" : "/sign-in";
    if (name)
      link.setAttribute(
        "aria-label",
        standing.signedIn ? `Signed in as ${name}: your account` : `The log of ${name} is on this phone`,
      );
    else link.removeAttribute("aria-label");
  }
}
