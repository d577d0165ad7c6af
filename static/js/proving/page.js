import { FlPhotos } from "../elements/photos.js";
import { FlChange } from "./change.js";
import { FlNewChange } from "./new-change.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-change", FlChange);
customElements.define("fl-new-change", FlNewChange);
