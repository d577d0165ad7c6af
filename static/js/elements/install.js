import { countedBoth } from "../lib/ages.js";
import { offer } from "../offline/install.js";
import { unsentPhotos } from "../outbox/photos.js";
import { changes, unsentRows } from "../outbox/queue.js";

/** Says how the site gets onto the home screen, once nothing waits in this store. */
export class FlInstall extends HTMLElement {
  connectedCallback() {
    offer.addEventListener("changed", this);
    changes.addEventListener("changed", this);
    this.addEventListener("click", this);
    this.#refresh();
  }

  disconnectedCallback() {
    offer.removeEventListener("changed", this);
    changes.removeEventListener("changed", this);
  }

  handleEvent(event) {
    if (event.type === "click") this.#install(event.target.closest("button"));
    else this.#refresh();
  }

  async #refresh() {
    const [rows, { mine: photos }] = await Promise.all([unsentRows(), unsentPhotos()]).catch(() => [[], { mine: [] }]);
    const waiting = rows.length + photos.length;
    this.hidden = matchMedia("(display-mode: standalone)").matches || Boolean(navigator.standalone);
    this.querySelector("button").hidden = !offer.event || waiting > 0;
    this.querySelector("[data-part=hint]").textContent = hint(rows.length, photos.length);
  }

  async #install(button) {
    if (!button || !offer.event) return;
    const { event } = offer;
    offer.event = null;
    await event.prompt();
    this.#refresh();
  }
}

function hint(records, photos) {
  const waiting = records + photos;
  if (waiting)
    return `Not yet: ${countedBoth(records, photos)} ${
      waiting === 1 ? "waits" : "wait"
    } in this browser, and the app on the home screen would start with an empty store. Let ${
      waiting === 1 ? "it" : "them"
    } reach the server first.`;
  return offer.event
    ? "Opens like an app, with or without a signal. Sign in there once."
    : "The browser’s menu can add this site to the home screen. Sign in there once; it starts with an empty store.";
}
