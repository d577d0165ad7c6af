import { FlCheck } from "../elements/check.js";
import { FlOutletStory } from "../elements/outlet-story.js";
import { FlPhotos } from "../elements/photos.js";
import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";

document.addEventListener("fl-story", ({ detail }) => show(partOf(document, "[data-part=unproved]"), detail));
document.addEventListener("fl-test", () => {
  /** @type {HTMLElement|null} */
  const title = document.querySelector("form[data-step]:not([hidden]) h1");
  title?.scrollIntoView();
  title?.focus({ preventScroll: true });
});
customElements.define("fl-photos", FlPhotos);
customElements.define("fl-outlet-story", FlOutletStory);
customElements.define("fl-check", FlCheck);
