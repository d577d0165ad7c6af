import { FlChange } from "./change.js";
import { FlNewChange } from "./new-change.js";

customElements.define("fl-change", FlChange);
customElements.define("fl-new-change", FlNewChange);
