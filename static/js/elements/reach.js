/**
 * Tells that this page came in a way that lets no browser keep it. The server shows it by what it knows of the
 * request; the browser knows better, for a proxy may have spoken https for the server, or plain http to it.
 */
export class FlReach extends HTMLElement {
  connectedCallback() {
    this.hidden = window.isSecureContext;
  }
}
