import { standing } from "../sync/flush.js";

/** Says who is signed in. */
export class FlSession extends HTMLElement {
  connectedCallback() {
    standing.addEventListener("changed", this);
  }

  disconnectedCallback() {
    standing.removeEventListener("changed", this);
  }

  handleEvent() {
    const link = this.querySelector("a");
    link.textContent = standing.signedIn ? standing.name : "Sign in";
    link.href = standing.signedIn ? "/sign-out" : "/sign-in";
    if (standing.signedIn) link.setAttribute("aria-label", `Signed in as ${standing.name}: sign out`);
    else link.removeAttribute("aria-label");
  }
}
