import { FlCheck } from "../elements/check.js";
import { FlPhotos } from "../elements/photos.js";
import { AfterPaint } from "../lib/after-paint.js";
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
// What the outlet's past tells stands below its test and comes after the first screen.
new AfterPaint().wait(async () =>
  customElements.define("fl-outlet-story", (await import("../elements/outlet-story.js")).FlOutletStory),
);
customElements.define("fl-check", FlCheck);
