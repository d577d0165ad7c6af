import { counted, countedBoth } from "../lib/ages.js";
import { html, show } from "../lib/html.js";
import { exportFile, importFile } from "../outbox/file.js";
import { saveFile } from "../phone/save-file.js";
import { sync } from "../sync/flush.js";

/** Saves records to a file and opens one again, with or without the server. */
export class FlFiles extends HTMLElement {
  connectedCallback() {
    for (const type of ["click", "change"]) this.addEventListener(type, this);
  }

  async handleEvent({ type, target }) {
    const button = target.closest("[data-save]");
    try {
      if (type === "click" && button) await this.#save(button.dataset.save === "all");
      if (type === "change" && target.files?.[0]) await this.#open(target);
    } catch (error) {
      console.error(error);
      this.#say(
        html`<p class="problem">Not done. ${error.message || "The phone’s storage refused it."} Try again.</p>`,
      );
    }
  }

  async #save(all) {
    const file = await exportFile({ all });
    if (!file.count && !file.photos)
      return this.#say(
        html`<p>${
          all ? "There is nothing on this phone to save." : "There is nothing to save: all of it is on the server."
        }</p>`,
      );
    saveFile(file);
    return this.#say(
      html`<p>${countedBoth(file.count, file.photos)} handed to the browser as <b>${file.name}</b>. Look whether it is
        there before you rely on it.</p>`,
    );
  }

  async #open(input) {
    const { kept, known, photos, problems } = await importFile(await input.files[0].text());
    input.value = "";
    this.#say(html`<p>${counted(kept, "record")} added, ${known} known already${
      photos ? `; ${counted(photos, "photo")} added` : ""
    }.</p>
      ${
        problems.length
          ? html`<p class="problem">Left out, and nothing was written over:</p><ul
            class="tray__problems">${problems.map((sentence) => html`<li>${sentence}</li>`)}</ul>`
          : ""
      }`);
    if (kept || photos) sync();
  }

  #say(markup) {
    show(this.querySelector("[data-part=said]"), markup);
  }
}
