// What is due, the checks that were made, and one of them: whoever sees the list opens one.
import { FlChecks } from "../elements/checks.js";
import { FlDue } from "../elements/due.js";
import { FlPastCheck } from "../elements/past-check.js";
import { FlPhotos } from "../elements/photos.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-checks", FlChecks);
customElements.define("fl-due", FlDue);
customElements.define("fl-past-check", FlPastCheck);
