import { FlOutletStory } from "../elements/outlet-story.js";

document.addEventListener("fl-test", () => {
  const title = document.querySelector("form[data-step]:not([hidden]) h1");
  title?.scrollIntoView();
  title?.focus({ preventScroll: true });
});
customElements.define("fl-outlet-story", FlOutletStory);
