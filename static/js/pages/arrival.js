// The arrival check.
import { FlCheck } from "../elements/check.js";
import { FlPhotos } from "../elements/photos.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-check", FlCheck);
