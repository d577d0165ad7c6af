/** Puts what stands behind the # of the address into the form, and out of the address. */
export class FlTakeOver extends HTMLElement {
  connectedCallback() {
    window.addEventListener("hashchange", this);
    this.handleEvent();
  }

  disconnectedCallback() {
    window.removeEventListener("hashchange", this);
  }

  handleEvent() {
    const field = this.querySelector("input[name=code]");
    if (!(field instanceof HTMLInputElement)) return console.error("fl-take-over lacks a part.");
    if (!location.hash) return;
    field.value = location.href;
    history.replaceState(null, "", location.pathname);
    this.querySelector("button")?.focus();
  }
}
