// The arrival check, the list of checks and one past check: whoever opens one goes on to the others.
import { FlCheck } from "../elements/check.js";
import { FlChecks } from "../elements/checks.js";
import { FlDue } from "../elements/due.js";
import { FlPastCheck } from "../elements/past-check.js";
import { FlPhotos } from "../elements/photos.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-check", FlCheck);
customElements.define("fl-checks", FlChecks);
customElements.define("fl-due", FlDue);
customElements.define("fl-past-check", FlPastCheck);
