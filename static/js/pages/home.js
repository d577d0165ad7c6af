// What is due, and the checks that were made.
import { FlChecks } from "../elements/checks.js";
import { FlDue } from "../elements/due.js";

customElements.define("fl-checks", FlChecks);
customElements.define("fl-due", FlDue);
