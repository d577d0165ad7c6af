// What the app is used for, what is due, and the checks that were made.
import { FlChecks } from "../elements/checks.js";
import { FlDue } from "../elements/due.js";
import { FlUses } from "../elements/uses.js";

customElements.define("fl-uses", FlUses);
customElements.define("fl-checks", FlChecks);
customElements.define("fl-due", FlDue);
