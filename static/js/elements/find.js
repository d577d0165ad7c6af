import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { allRows } from "../outbox/rows.js";

/** Finds records on this phone, with or without the server; what it takes is brought once it is opened. */
export class FlFind extends HTMLElement {
  connectedCallback() {
    for (const type of ["submit", "toggle"]) this.addEventListener(type, this, type === "toggle");
    if (location.hash === "#find") partOf(this, "details", HTMLDetailsElement).open = true;
  }

  /** @param {Event} event */
  async handleEvent(event) {
    event.preventDefault();
    const kind = partOf(this, "select");
    const { found, foundMarkup, options } = await import("../phone/find.js");
    if (!kind.children.length) show(kind, options);
    if (event.type !== "submit") return;
    const typed = Object.fromEntries(new FormData(partOf(this, "form", HTMLFormElement)));
    const rows = await allRows();
    const sought = { words: "", kind: "", verdict: "", first: "", last: "", ...typed, flagged: "flagged" in typed };
    show(partOf(this, "[data-part=found]"), foundMarkup(rows, found(rows, sought)));
  }
}
