// The changes to a rig that are proved, and its grounds.
import { FlPhotos } from "../elements/photos.js";
import { FlChange } from "../proving/change.js";
import { FlGrounds } from "../proving/grounds.js";
import { FlNewChange } from "../proving/new-change.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-new-change", FlNewChange);
// A phone keeps one page for both; the address says what its proofs are about.
customElements.define("fl-proofs", location.pathname === "/grounds" ? FlGrounds : FlChange);
