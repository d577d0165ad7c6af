import { partOf } from "../lib/part-of.js";

/** @type {[RegExp, string][]} */
const PAGES = [
  [/trip-tests/, "The trip test"],
  [/^\/rigs\/[^/]+\/map\//, "Changing the map"],
  [/^\/rigs\/[^/]+\/record/, "The service record"],
  [/^\/rigs\/[^/]+\/labels/, "The sheet of labels"],
  [/^\/rigs/, "The rig’s page"],
  [/^\/history/, "The history"],
  [/^\/calendar/, "The calendar"],
  [/^\/arrive\/plain/, "The plain form"],
  [/^\/sign-in/, "Signing in"],
  [/^\/sign-out/, "Signing out"],
  [/^\/trust/, "The page about https"],
];

/** Stands in place of a page that only the server makes, at that page's own address, and says which one it is. */
export class FlUnreached extends HTMLElement {
  connectedCallback() {
    const name = PAGES.find(([pattern]) => pattern.test(location.pathname))?.[1];
    if (name) partOf(this, "[data-part=page]").textContent = name;
    addEventListener("online", this);
  }

  disconnectedCallback() {
    removeEventListener("online", this);
  }

  /** A network came up. It may not lead to the server, so the person decides. */
  handleEvent() {
    partOf(this, "[data-part=again]").textContent = "There is a network again: try now";
  }
}
