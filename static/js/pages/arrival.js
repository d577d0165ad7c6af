// The arrival check.
import { FlCheck } from "../elements/check.js";
import { FlPhotos } from "../elements/photos.js";
import { show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";

document.addEventListener("fl-half-hour", async ({ detail }) => {
  const { offerReminder } = await import("../check/remind.js");
  offerReminder(partOf(document, "[data-part=remind]"), detail);
});
document.addEventListener("fl-plugging", async () => {
  const { todaysCordLooks } = await import("../round/cord-looks.js");
  show(partOf(document, "[data-part=cord-looks]"), await todaysCordLooks());
});
customElements.define("fl-photos", FlPhotos);
customElements.define("fl-check", FlCheck);
