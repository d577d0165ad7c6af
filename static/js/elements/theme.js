import { partOf } from "../lib/part-of.js";

const KEY = "fieldlog-look";

/** Puts on the look chosen earlier, before the page is much seen. */
export function wearTheme() {
  const look = localStorage.getItem(KEY);
  if (look) document.documentElement.dataset.look = look;
}

/** Switches the look for full sun on and off: black on white, thick lines. */
export class FlTheme extends HTMLElement {
  connectedCallback() {
    this.addEventListener("click", this);
    this.#say();
  }

  handleEvent() {
    const root = document.documentElement;
    if (root.dataset.look === "sun") delete root.dataset.look;
    else root.dataset.look = "sun";
    localStorage.setItem(KEY, root.dataset.look ?? "");
    this.#say();
  }

  #say() {
    partOf(this, "button").setAttribute("aria-pressed", String(document.documentElement.dataset.look === "sun"));
  }
}
