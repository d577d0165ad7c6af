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
    const name = standing.signedIn ? standing.name : await this.#nameHere();
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

  /** @returns {Promise<string|null>} a name only where the server cannot say otherwise */
  async #nameHere() {
    return standing.reached ? null : ((await get("kept", "account").catch(() => null)) ?? null);
  }
}
