// A check that was made.
import { FlPastCheck } from "../elements/past-check.js";
import { FlPhotos } from "../elements/photos.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-past-check", FlPastCheck);
