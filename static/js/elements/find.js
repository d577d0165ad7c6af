import { partOf } from "../lib/part-of.js";

/** Finds records on this phone, with or without the server; what it takes is brought once it is opened. */
export class FlFind extends HTMLElement {
  connectedCallback() {
    for (const type of ["submit", "toggle"]) this.addEventListener(type, this, true);
    if (location.hash === "#find") partOf(this, "details", HTMLDetailsElement).open = true;
  }

  /** @param {Event} event */
  async handleEvent(event) {
    event.preventDefault();
    const { search } = await import("../phone/find.js");
    await search(this, event.type === "submit");
  }
}
